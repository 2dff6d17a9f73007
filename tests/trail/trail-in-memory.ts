import type { ConsultEvent } from '../../src/consult/events.js'
import type { Plan } from '../../src/plan/plan.js'
import { contentHash, GENESIS, type Link, seal, unseal } from '../../src/trail/chain.js'
import { type RecordAct, sealRow } from '../../src/trail/record-acts.js'
import type { TrailReading } from '../../src/trail/trail-store.js'
import type { KeptText } from '../../src/trail/verify.js'

/** A trail over plain maps, sealed as a store seals it; texts can be erased. */
export function trailInMemory(events: readonly ConsultEvent[], plans: readonly Plan[] = []) {
  const texts = new Map<string, KeptText>()
  const kept = new Map(plans.map((plan) => [contentHash(plan), plan]))
  const versions = new Map<string, number>()
  const links: Link[] = []
  const acts: RecordAct[] = []
  const erasedPlans = new Set<string>()
  let salts = 0
  for (const event of events) {
    const version = (versions.get(event.ref) ?? 0) + 1
    versions.set(event.ref, version)
    const place = { position: links.length + 1, version, previous: links.at(-1)?.hash ?? GENESIS }
    const sealed = seal(event, place, () => {
      salts += 1
      return `salt ${salts}`
    })
    for (const { commitment, salt, text } of sealed.texts) texts.set(commitment, { salt, text })
    links.push(sealed.link)
  }
  const textOf = (commitment: string): string | undefined => {
    const text = texts.get(commitment)
    return typeof text === 'object' ? text.text : undefined
  }
  const trail = {
    async *links() {
      yield* links
    },
    keptText: async (commitment: string) => texts.get(commitment),
    plan: async (hash: string) => kept.get(hash),
    planErased: async (hash: string) => erasedPlans.has(hash),
    async *recordActs() {
      yield* acts
    },
    events: async (ref: string) => links.filter((link) => link.ref === ref).map((link) => unseal(link, textOf)),
  } satisfies Pick<TrailReading, 'links' | 'keptText' | 'plan' | 'planErased' | 'recordActs' | 'events'>
  const act = (what: RecordAct['act'], subject: string) =>
    acts.push(
      sealRow(
        { at: '2026-04-01T10:00:00.000Z', by: 'Alder', act: what, ref: 'MARSH-7', subject, because: 'asked for' },
        acts.at(-1),
      ),
    )
  return {
    trail,
    links,
    erase(text: string) {
      for (const [commitment, value] of texts) {
        if (typeof value !== 'object' || value.text !== text) continue
        texts.set(commitment, 'erased')
        act('text-erased', commitment)
      }
    },
    erasePlan(hash: string) {
      kept.delete(hash)
      erasedPlans.add(hash)
      act('plan-erased', hash)
    },
  }
}

export async function collected<Item>(items: AsyncIterable<Item>): Promise<readonly Item[]> {
  const all: Item[] = []
  for await (const item of items) all.push(item)
  return all
}
