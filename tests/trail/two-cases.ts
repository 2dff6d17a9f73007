import type { ConsultEvent } from '../../src/consult/events.js'
import { contentHash } from '../../src/trail/chain.js'
import { ASKED, at, CORNEA } from '../consult/invented-people.js'
import { inventedPlan } from '../contracts/invented-plan.js'

export const PLANS = [inventedPlan({ question: 'Chop?' }), inventedPlan({ question: 'Ring?', axialLengthMm: 21.4 })] as const
export const [LONG, SHORT] = PLANS
export const EVENTS: readonly ConsultEvent[] = [
  { ...ASKED, planHash: contentHash(LONG), question: 'Chop?\u2028or manual' },
  { ...ASKED, ref: 'QUAY-2', at: '2026-03-05T09:00:00.000Z', planHash: contentHash(SHORT), question: 'Ring?' },
  {
    type: 'opinion-given',
    by: CORNEA,
    at: at(3),
    ref: 'MARSH-7',
    revision: 1,
    opinion: { kind: 'agree', steps: [], sentence: 'a sentence that must go' },
  },
]
