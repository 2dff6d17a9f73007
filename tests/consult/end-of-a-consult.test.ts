import { describe, expect, it } from 'vitest'
import { type AskedConsult, fold } from '../../src/consult/consult.js'
import { type ConsultCommand, decide } from '../../src/consult/decide.js'
import type { ConsultEvent } from '../../src/consult/events.js'
import type { Person } from '../../src/consult/people.js'
import { by, closed, common, decided, given, operation, opinion, toDecide, types, withdrawn } from './a-life.js'
import { ASKED, ASKER, CORNEA, RETINA } from './invented-people.js'

describe('the end of a consult', () => {
  const close = (person: Person, lead = false): ConsultCommand => ({ type: 'close', ...by(person), lead })
  const reopen = (because: string, person = ASKER, lead = false): ConsultCommand => ({
    type: 'reopen',
    ...by(person),
    because,
    lead,
  })
  const withdraw = (because: string, person = ASKER): ConsultCommand => ({ type: 'withdraw', ...by(person), because })

  it('is closed by its asker or a lead', () => {
    expect(types(given().when(close(CORNEA)))).toEqual(['asker-or-lead-only'])
    expect(types(given().when(close(CORNEA, true)))).toEqual(['consult-closed'])
    expect(given().becomes(close(ASKER)).status).toBe('closed')
  })

  it('is withdrawn by its asker with a reason, and not after the operation', () => {
    expect(types(given().when(withdraw('', ASKER)))).toEqual(['reason-missing'])
    expect(types(given().when(withdraw('x', CORNEA)))).toEqual(['asker-only'])
    expect(types(given(operation).when(withdraw('x')))).toEqual(['already-operated'])
    expect(given().becomes(withdraw('operated elsewhere')).status).toBe('withdrawn')
  })

  it('stops opinions, changes and decisions, but no comments', () => {
    for (const end of [closed, withdrawn]) {
      const consult = given(end)
      const answer: ConsultCommand = { type: 'give-opinion', ...by(CORNEA), revision: 1, opinion: { kind: 'agree', steps: [] } }
      for (const command of [answer, toDecide()]) expect(types(consult.when(command))).toEqual(['consult-ended'])
      expect(types(consult.when({ type: 'comment', ...by(CORNEA), text: 'thanks' }))).toEqual(['comment-made'])
    }
  })

  it.each([
    ['closed', closed],
    ['withdrawn', withdrawn],
  ] as const)('when %s is taken back with a reason, and asks again', (_how, end) => {
    expect(types(given(end).when(reopen('')))).toEqual(['reason-missing'])
    expect(types(given(end).when(reopen('new finding', CORNEA)))).toEqual(['asker-or-lead-only'])
    expect(given(end).becomes(reopen('new finding')).status).toBe('asked')
    expect(types(given().when(reopen('x')))).toEqual(['still-open'])
  })

  it('is given to somebody else by its asker or a lead, who decides from then on', () => {
    const give = (person: Person, lead: boolean): ConsultCommand => ({ type: 'reassign', ...by(person), lead, to: RETINA })
    expect(types(given().when(give(CORNEA, false)))).toEqual(['asker-or-lead-only'])
    const consult = given().becomes(give(CORNEA, true)) as AskedConsult
    expect([consult.askedBy.name, consult.askedBefore.map(({ name }) => name)]).toEqual(['Sorrel', ['Wren']])
    expect(types(decide(toDecide(), consult))).toEqual(['asker-only'])
    expect(types(decide(toDecide({}, RETINA), consult))).toEqual(['consult-decided'])
  })
})

describe('an outcome', () => {
  const record = (stage: 'operation' | 'near-miss' | 'twelve-months', person = ASKER): ConsultCommand => ({
    type: 'record-outcome',
    ...by(person),
    outcome: { stage },
  })

  it('is recorded by the asker, also without a decision, and after closing', () => {
    expect(types(given().when(record('operation', CORNEA)))).toEqual(['asker-only'])
    expect(given().becomes(record('operation')).status).toBe('operated')
    expect(given(closed).becomes(record('twelve-months')).status).toBe('closed')
    expect(types(given(withdrawn).when(record('operation')))).toEqual(['consult-ended'])
  })

  it('of a near miss is recorded by whoever saw it, at any time, and once where a tap is repeated without a word', () => {
    for (const standing of [given(), given(closed), given(withdrawn)])
      expect(types(standing.when(record('near-miss', CORNEA)))).toEqual(['outcome-recorded'])
    const once = given().becomes(record('near-miss', CORNEA))
    expect(types(decide(record('near-miss', CORNEA), once))).toEqual([])
    expect(types(decide(record('near-miss'), once))).toEqual(['outcome-recorded'])
    const worded: ConsultCommand = { ...by(CORNEA), type: 'record-outcome', outcome: { stage: 'near-miss', note: 'wrong lens' } }
    expect(types(decide(worded, once))).toEqual(['outcome-recorded'])
  })

  it('of a near miss leaves the consult where it is', () => {
    expect(given(decided()).becomes(record('near-miss')).status).toBe('decided')
  })

  it('ends the giving of opinions', () => {
    const answer: ConsultCommand = { type: 'give-opinion', ...by(CORNEA), revision: 1, opinion: { kind: 'agree', steps: [] } }
    expect(types(given(operation).when(answer))).toEqual(['already-operated'])
  })
})

describe('the deputy', () => {
  const ask: ConsultCommand = { type: 'ask-deputy', ...by(ASKER) }
  const named = (...events: readonly ConsultEvent[]) => fold([{ ...ASKED, deputy: 'Sorrel' }, ...events])

  it('is asked once, and only into silence', () => {
    expect(types(decide(ask, named()))).toEqual(['deputy-asked'])
    expect(decide(ask, named(opinion()))).toEqual([])
    expect(decide(ask, named({ ...common, type: 'deputy-asked', deputy: 'Sorrel' }))).toEqual([])
    expect(types(given().when(ask))).toEqual(['no-deputy'])
  })
})
