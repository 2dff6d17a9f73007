import { type AskedConsult, type Consult, evolve, fold } from '../../src/consult/consult.js'
import { type ConsultCommand, decide, isRefusal, refusalWords } from '../../src/consult/decide.js'
import type { Decided } from '../../src/consult/decided.js'
import type { ConsultEvent } from '../../src/consult/events.js'
import type { OpinionKind } from '../../src/consult/opinion.js'
import type { Person } from '../../src/consult/people.js'
import { ASKED, ASKER, at, CORNEA } from './invented-people.js'

export const common = { by: ASKER, at: at(5), ref: 'MARSH-7' } as const
export const opinion = (kind: OpinionKind = 'agree', by: Person = CORNEA): ConsultEvent => ({
  ...common,
  type: 'opinion-given',
  by,
  revision: 1,
  opinion: { kind, steps: [] },
})
export const CHOP: Decided = { planA: 'chop', operates: 'consultant', follows: [], departs: [], overrides: [] }
export const decided = (decision: Decided = CHOP): ConsultEvent => ({ ...common, type: 'consult-decided', revision: 1, decision })
export const operation: ConsultEvent = { ...common, type: 'outcome-recorded', outcome: { stage: 'operation' } }
export const closed: ConsultEvent = { ...common, type: 'consult-closed' }
export const withdrawn: ConsultEvent = { ...common, type: 'consult-withdrawn', because: 'operated elsewhere' }
export const task = (name: string, more: object = {}): ConsultEvent => ({
  ...common,
  type: 'task-opened',
  task: name,
  what: 'B-scan',
  from: 'typed',
  ...more,
})

export const GROUND = { recommendedPowerD: 9, critical: [{ id: 'length-unconfirmed', text: 'Confirm the length' }] }
export const by = (person: Person) => ({ by: person, at: at(9) })
export const toDecide = (change: Partial<Decided> = {}, person = ASKER): ConsultCommand => ({
  type: 'decide',
  ...by(person),
  decision: { ...CHOP, ...change },
  ground: GROUND,
})

export const given = (...events: readonly ConsultEvent[]) => {
  const consult = fold([ASKED, ...events])
  return {
    consult: consult as AskedConsult,
    when: (command: ConsultCommand) => decide(command, consult),
    becomes: (command: ConsultCommand): Consult => {
      const decision = decide(command, consult)
      if (isRefusal(decision)) throw new Error(refusalWords(decision))
      return decision.reduce(evolve, consult)
    },
  }
}
export const types = (decision: ReturnType<typeof decide>): readonly string[] =>
  isRefusal(decision) ? [decision.refused] : decision.map(({ type }) => type)
