import type { Outbound } from '../../src/desk/ports.js'
import type { Effects } from '../../src/desk/store.js'
import { understand } from '../../src/intake/understand.js'
import { ASKER } from '../consult/invented-people.js'
import { inventedPlan } from '../contracts/invented-plan.js'
import { deskInMemory, inThread, text } from './desk-in-memory.js'

export const CASE = 'LE, AL 29.60 optical, K1 42.10@95 K2 43.20@5, staphyloma, sub-Tenon; surgery 2026-03-09\nQ: chop or manual?'

/** A desk that really reads cases, with MARSH-7 asked in it. */
export async function asked(post = 'post', changes: Parameters<typeof deskInMemory>[0] = {}) {
  const desk = deskInMemory({
    understand,
    makePlan: async (given) => ({ ...inventedPlan(), case: given }),
    ...changes,
  })
  await desk.handle(text(CASE))
  await desk.handle(text(post))
  const say = (said: string, by = ASKER) => desk.handle(text(said, { by, place: inThread('MARSH-7'), addressed: false }))
  return { ...desk, say }
}
export const notes = (effects: Effects): readonly Extract<Outbound, { kind: 'thread-note' }>[] =>
  effects.outbound.flatMap((outbound) => (outbound.kind === 'thread-note' ? [outbound] : []))
export const wordsOf = (effects: Effects): string => JSON.stringify(notes(effects).map(({ card }) => card))
