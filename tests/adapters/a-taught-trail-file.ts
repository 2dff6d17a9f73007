import { openSqliteStore } from '../../adapters/store/sqlite/open.js'
import type { ConsultEvent } from '../../src/consult/events.js'
import { OPINIONS } from '../../src/consult/opinion.js'
import { NO_EFFECTS } from '../../src/desk/store.js'
import type { Plan } from '../../src/plan/plan.js'
import { contentHash } from '../../src/trail/chain.js'
import { searchWords } from '../../src/trail/words.js'
import { ASKED, at, CORNEA, PLACE } from '../consult/invented-people.js'
import { inventedPlan } from '../contracts/invented-plan.js'
import { said } from '../contracts/store-contract-cases.js'
import { inventedEyes, ordinaryCase, planOf, weeks } from '../learning/invented-series.js'

async function trailAt(path: string) {
  const store = await openSqliteStore(path, at(0))
  const put = async (ref: string, plan: Plan, after: readonly ConsultEvent[] = []) => {
    const hash = contentHash(plan)
    await store.inbox.put({ key: ref, inbound: said('x') }, at(0))
    const waiting = await store.inbox.next(at(59))
    const asked: ConsultEvent = { ...ASKED, ref, planHash: hash, words: searchWords(plan) }
    const effects = {
      ...NO_EFFECTS,
      events: [asked, ...after],
      plans: [{ hash, plan }],
      outbound: [{ kind: 'consult-card', ref, place: PLACE } as const],
    }
    if (!waiting || (await store.inbox.commit(waiting.seq, effects, at(1))) !== 'committed') throw new Error('not committed')
  }
  return { put, close: store.close }
}

/** An invented trail with one consult a plan. */
export async function writePlans(path: string, plans: readonly (readonly [string, Plan])[]): Promise<void> {
  const { put, close } = await trailAt(path)
  for (const [ref, plan] of plans) await put(ref, plan)
  await close()
}

/** An invented trail with `count` operated consults and one, MARSH-7, that is still open and has a rule that fires. */
export async function writeTaughtTrail(path: string, count: number): Promise<void> {
  const { put, close } = await trailAt(path)
  for (const [index, eye] of inventedEyes(count, 31).entries()) {
    const ref = `QUAY-${index + 1}`
    const plan = planOf(ordinaryCase(eye))
    const { recommended } = plan.lens
    if (!recommended) throw new Error('a lens is recommended for an ordinary eye')
    const refractionD = Math.round((recommended.leaves.lowD + 0.4 * eye.noiseD) * 4) / 4
    const kind = OPINIONS[index % 2] ?? 'agree'
    await put(ref, plan, [
      { type: 'opinion-given', by: CORNEA, at: at(2), ref, revision: 1, opinion: { kind, steps: [] } },
      { type: 'outcome-recorded', by: ASKED.by, at: at(3), ref, outcome: weeks(refractionD, recommended.powerD) },
      { type: 'consult-closed', by: ASKED.by, at: at(4), ref },
    ])
  }
  await put('MARSH-7', inventedPlan())
  await close()
}
