import type { AskedConsult } from '../consult/consult.js'
import type { Plan } from '../plan/plan.js'
import { type FeatureRows, featuresOf, type PlacedRow } from '../trail/features.js'
import { nearestCases, type Similar } from '../trail/similar-cases.js'
import { readAtOf } from './audience.js'
import { ownWorkspace } from './deps.js'
import type { KeptAudiences } from './rooms.js'

const SHOWN = 3

/** A card is made anew at every answer: the newest of the past consults are gone through, and no more. */
export const LOOKED_THROUGH = 5_000

/** The consults before this one that are nearest to it, of those that everybody who reads its card may see. */
export async function similarBefore(
  consult: AskedConsult,
  plan: Plan,
  view: FeatureRows & KeptAudiences,
): Promise<readonly Similar[]> {
  const { place, askedAt } = consult
  const isReadAt = await readAtOf(place, view)
  const rows = view.similarRows(ownWorkspace(place), LOOKED_THROUGH, askedAt)
  return nearestCases(featuresOf(consult, plan), readAt(rows), SHOWN)

  async function* readAt(all: AsyncIterable<PlacedRow>): AsyncIterable<PlacedRow> {
    for await (const row of all) {
      const shown = isReadAt(row)
      if (shown === true || (shown !== false && (await shown))) yield row
    }
  }
}
