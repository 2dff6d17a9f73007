import { describe, expect, it } from 'vitest'
import { settledAsking, typedAsking } from '../../src/consult/asking.js'
import { type AskedConsult, fold } from '../../src/consult/consult.js'
import { decide } from '../../src/consult/decide.js'
import type { ConsultEvent } from '../../src/consult/events.js'
import type { OutcomeStage } from '../../src/consult/outcome.js'
import { stageDue } from '../../src/consult/outcome-due.js'
import { type PersonTime, remindersOf } from '../../src/consult/reminders.js'
import { ASKED, ASKER, CORNEA } from './invented-people.js'

const ANSWER_BY = '2026-03-03T18:00:00.000Z'
const common = { by: ASKER, at: '2026-03-02T19:00:00.000Z', ref: 'MARSH-7' } as const
const consult = (...events: readonly ConsultEvent[]): AskedConsult =>
  fold([{ ...ASKED, answerBy: ANSWER_BY, asked: ['Alder'] }, ...events]) as AskedConsult

const UTC: PersonTime = { offsetMinutes: 0, reminders: true }
const QUIET: PersonTime = { ...UTC, quiet: { fromMinute: 20 * 60, toMinute: 7 * 60 } }
const all = (time: PersonTime) => () => time

const opinion: ConsultEvent = { ...common, type: 'opinion-given', by: CORNEA, revision: 1, opinion: { kind: 'agree', steps: [] } }
const sent = (kind: 'unanswered' | 'open-tasks', at = common.at): ConsultEvent => ({
  ...common,
  at,
  type: 'reminder-sent',
  kind,
  to: [],
})
const task: ConsultEvent = { ...common, type: 'task-opened', task: 'T1', what: 'B-scan', owner: 'Sorrel', from: 'typed' }
const operation: ConsultEvent = { ...common, type: 'outcome-recorded', outcome: { stage: 'operation', on: '2026-03-09' } }

describe('an unanswered consult', () => {
  it('is due once the time set has passed, and not before', () => {
    expect(remindersOf(consult(), all(UTC), '2026-03-03T17:59:00.000Z')).toEqual({ due: [], lookAt: ANSWER_BY })
    expect(remindersOf(consult(), all(UTC), ANSWER_BY).due).toEqual([{ kind: 'unanswered', to: ['Alder'] }])
  })

  it('goes to the deputy where one is named', () => {
    const events = [{ ...ASKED, answerBy: ANSWER_BY, asked: ['Alder'], deputy: 'Sorrel' }] as const
    expect(remindersOf(fold(events) as AskedConsult, all(UTC), ANSWER_BY).due).toEqual([{ kind: 'unanswered', to: ['Sorrel'] }])
  })

  it.each([
    ['answered', opinion],
    ['reminded of', sent('unanswered')],
    ['closed', { ...common, type: 'consult-closed' } as ConsultEvent],
    [
      'decided',
      {
        ...common,
        type: 'consult-decided',
        revision: 1,
        decision: { planA: 'chop', operates: 'me', follows: [], departs: [], overrides: [] },
      } as ConsultEvent,
    ],
  ])('that was %s is left alone', (_how, event) => {
    expect(remindersOf(consult(event), all(UTC), '2026-04-01T00:00:00.000Z').due).toEqual([])
  })

  it('is due again after it was reopened', () => {
    const again = consult(
      sent('unanswered'),
      { ...common, type: 'consult-closed' },
      { ...common, at: '2026-03-05T10:00:00.000Z', type: 'consult-reopened', because: 'new finding' },
    )
    expect(remindersOf(again, all(UTC), '2026-03-06T10:00:00.000Z').due).toHaveLength(1)
  })

  it('has its consequence also when whoever is asked wants no reminders', () => {
    expect(remindersOf(consult(), all({ ...UTC, reminders: false }), ANSWER_BY).due).toEqual([{ kind: 'unanswered', to: [] }])
  })
})

describe('quiet hours', () => {
  it('put a reminder off until they end, in the person’s own time', () => {
    const late = '2026-03-03T21:30:00.000Z'
    expect(remindersOf(consult(), all(QUIET), late)).toEqual({ due: [], lookAt: '2026-03-04T07:00:00.000Z' })
    // Five hours behind UTC it is still afternoon.
    expect(remindersOf(consult(), all({ ...QUIET, offsetMinutes: -300 }), late).due).toHaveLength(1)
    expect(remindersOf(consult(), all({ ...QUIET, offsetMinutes: 330 }), '2026-03-03T18:00:00.000Z').lookAt).toBe(
      '2026-03-04T01:30:00.000Z',
    )
  })

  it('do not hold back what is wanted today', () => {
    const today = fold([{ ...ASKED, answerBy: ANSWER_BY, urgency: 'today', asked: ['Alder'] }]) as AskedConsult
    expect(remindersOf(today, all(QUIET), '2026-03-03T21:30:00.000Z').due).toHaveLength(1)
  })
})

describe('the day before surgery', () => {
  const planned = (...events: readonly ConsultEvent[]) =>
    fold([{ ...ASKED, surgeryDate: '2026-03-09' }, ...events]) as AskedConsult

  it('reminds asker and owners of open tasks, at nine in the asker’s morning', () => {
    const before = planned(task, opinion)
    expect(remindersOf(before, all({ ...UTC, offsetMinutes: 60 }), '2026-03-07T00:00:00.000Z').lookAt).toBe(
      '2026-03-08T08:00:00.000Z',
    )
    expect(remindersOf(before, all(UTC), '2026-03-08T09:00:00.000Z').due).toEqual([
      { kind: 'open-tasks', to: [ASKER.id, 'Sorrel'] },
    ])
  })

  it('says nothing where nothing is open, nor after the day', () => {
    expect(
      remindersOf(planned(task, { ...common, type: 'task-done', task: 'T1' }), all(UTC), '2026-03-08T09:00:00.000Z').due,
    ).toEqual([])
    expect(remindersOf(planned(task), all(UTC), '2026-03-12T09:00:00.000Z').due).toEqual([])
  })
})

const outcome = (stage: OutcomeStage): ConsultEvent => ({ ...common, type: 'outcome-recorded', outcome: { stage } })

describe('the outcome', () => {
  it('is asked for a week, four weeks and a year after the operation', () => {
    expect(remindersOf(consult(operation), all(UTC), '2026-03-10T00:00:00.000Z').lookAt).toBe('2026-03-16T09:00:00.000Z')
    expect(remindersOf(consult(operation), all(UTC), '2026-03-16T09:00:00.000Z').due).toEqual([
      { kind: 'outcome-first-weeks', to: [ASKER.id] },
    ])
    const first = consult(operation, outcome('first-weeks'))
    expect(remindersOf(first, all(UTC), '2026-03-17T00:00:00.000Z').lookAt).toBe('2026-04-06T09:00:00.000Z')
    expect(remindersOf(consult(operation), all(UTC), '2026-04-06T09:00:00.000Z').due).toEqual([
      { kind: 'outcome-four-to-six-weeks', to: [ASKER.id] },
    ])
    const seen: ConsultEvent = { ...common, type: 'outcome-recorded', outcome: { stage: 'four-to-six-weeks' } }
    expect(remindersOf(consult(operation, seen), all(UTC), '2026-04-06T09:00:00.000Z')).toEqual({
      due: [],
      lookAt: '2027-03-09T09:00:00.000Z',
    })
  })

  it('of the first weeks is not asked for any more when that of four weeks is', () => {
    expect(remindersOf(consult(operation), all(UTC), '2027-04-06T09:00:00.000Z').due).toEqual([
      { kind: 'outcome-twelve-months', to: [ASKER.id] },
    ])
  })

  it('is asked for after the day of surgery where no operation was recorded, but not after a year', () => {
    const planned = fold([{ ...ASKED, surgeryDate: '2026-03-09' }]) as AskedConsult
    expect(remindersOf(planned, all(UTC), '2026-03-16T09:00:00.000Z').due).toEqual([
      { kind: 'outcome-first-weeks', to: [ASKER.id] },
    ])
    expect(remindersOf(planned, all(UTC), '2026-04-06T09:00:00.000Z').due).toEqual([
      { kind: 'outcome-four-to-six-weeks', to: [ASKER.id] },
    ])
    expect(remindersOf(planned, all(UTC), '2027-05-06T09:00:00.000Z').due).toEqual([
      { kind: 'outcome-four-to-six-weeks', to: [ASKER.id] },
    ])
  })

  it('of a year is asked for in a closed consult too, since what comes late comes all the same', () => {
    const closed: ConsultEvent = { ...common, type: 'consult-closed' }
    const withdrawn: ConsultEvent = { ...common, type: 'consult-withdrawn', because: 'put off' }
    const seen = [operation, outcome('four-to-six-weeks')]
    const asked = remindersOf(consult(...seen, closed), all(UTC), '2027-03-09T09:00:00.000Z').due
    expect(asked).toEqual([{ kind: 'outcome-twelve-months', to: [ASKER.id] }])
    const remind = { type: 'remind', by: ASKER, at: common.at, to: [ASKER.id] } as const
    expect(decide({ ...remind, kind: 'outcome-twelve-months' }, consult(...seen, closed))).toMatchObject([
      { type: 'reminder-sent' },
    ])
    expect(decide({ ...remind, kind: 'unanswered' }, consult(...seen, closed))).toEqual([])
    expect(remindersOf(consult(closed), all(UTC), '2027-03-09T09:00:00.000Z')).toEqual({ due: [] })
    expect(remindersOf(consult(withdrawn), all(UTC), '2027-03-09T09:00:00.000Z')).toEqual({ due: [] })
  })

  it('is begun in the form at the stage that its day calls for', () => {
    const near: ConsultEvent = { ...common, type: 'outcome-recorded', outcome: { stage: 'near-miss' } }
    expect(stageDue(consult(near), '2026-03-10')).toBe('operation')
    const stages = ['2026-03-10', '2026-03-30', '2026-04-06', '2026-10-01', '2027-03-09']
    expect(stages.map((today) => stageDue(consult(operation), today))).toEqual([
      'first-weeks',
      'four-to-six-weeks',
      'four-to-six-weeks',
      'twelve-months',
      'twelve-months',
    ])
  })

  it('is not asked for by somebody who has stopped it', () => {
    const paused: ConsultEvent = { ...common, type: 'reminders-paused' }
    expect(remindersOf(consult(operation, paused), all(UTC), '2026-04-06T09:00:00.000Z').due).toEqual([])
  })

  it('goes by id to somebody named in words, who has stopped it or has hours of their own by that id', () => {
    const named =
      (changes: object = {}) =>
      (person: string) => ({
        ...UTC,
        ...(person === 'Alder' ? { id: 'slack:T1:U2', ...changes } : {}),
      })
    expect(remindersOf(consult(), named(), ANSWER_BY).due).toEqual([{ kind: 'unanswered', to: ['slack:T1:U2'] }])
    const stopped: ConsultEvent = { ...common, by: { id: 'slack:T1:U2', name: 'Alder' }, type: 'reminders-paused' }
    expect(remindersOf(consult(stopped), named(), ANSWER_BY).due).toEqual([{ kind: 'unanswered', to: [] }])
    const quiet = { quiet: { fromMinute: 17 * 60, toMinute: 19 * 60 } }
    expect(remindersOf(consult(), named(quiet), ANSWER_BY)).toEqual({ due: [], lookAt: '2026-03-03T19:00:00.000Z' })
  })

  it('is looked for again a day later while its asker wants no reminders', () => {
    const off = remindersOf(consult(operation), all({ ...UTC, reminders: false }), '2026-04-06T09:00:00.000Z')
    expect(off).toEqual({ due: [], lookAt: '2026-04-07T09:00:00.000Z' })
  })
})

describe('how a consult is put', () => {
  it('has a time by which an answer is wanted, never after the day of surgery begins', () => {
    expect(settledAsking({}, '2026-03-02T18:00:00.000Z', undefined)).toEqual({
      urgency: 'routine',
      answerBy: '2026-03-05T18:00:00.000Z',
    })
    const hours = { routine: 48, 'this-week': 12, today: 1 }
    expect(settledAsking({}, '2026-03-02T18:00:00.000Z', undefined, hours).answerBy).toBe('2026-03-04T18:00:00.000Z')
    expect(settledAsking({ urgency: 'today' }, '2026-03-02T18:00:00.000Z', '2026-03-09').answerBy).toBe(
      '2026-03-02T20:00:00.000Z',
    )
    expect(settledAsking({}, '2026-03-02T18:00:00.000Z', '2026-03-03')).toMatchObject({
      surgeryDate: '2026-03-03',
      answerBy: '2026-03-03T00:00:00.000Z',
    })
  })

  it('is typed after post, part by part', () => {
    expect(typedAsking('ask @Alder, retina team; today; surgery 2026-03-09; hide until 3; deputy @Sorrel')).toEqual({
      asking: { asked: ['Alder', 'retina team'], urgency: 'today', surgeryDate: '2026-03-09', hideUntil: 3, deputy: 'Sorrel' },
    })
    expect(typedAsking('hide until I lift them; this week')).toEqual({
      asking: { hideUntil: 'asker-lifts', urgency: 'this-week' },
    })
    expect(typedAsking('surgery 2026-02-31')).toHaveProperty('problems')
    expect(typedAsking('')).toEqual({ asking: {} })
  })
})
