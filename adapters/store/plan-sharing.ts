import { planHashIn } from '../../src/trail/export-lines.js'
import type { Reader } from './database.js'
import { unpackText } from './text-packing.js'

const EVENTS_AT_ONCE = 1000

/** Consults by the plans that they name: two cases typed alike share one. */
export interface Naming {
  /** The consults that name each of the plans that were asked about. */
  readonly by: ReadonlyMap<string, ReadonlySet<string>>
  /** Position of the last event that was looked at. */
  readonly upTo: number
}

/** Up to so many hashes are looked for in the bytes of an event before it is unpacked. */
const FEW = 4

/**
 * Goes through the events for those that name one of these plans.
 * @param after position behind which is looked, so that a long look need not be taken twice
 */
export async function consultsNaming(reader: Reader, hashes: readonly string[], after = 0): Promise<Naming> {
  const by = new Map(hashes.map((hash) => [hash, new Set<string>()]))
  // A packed event holds a hash in its bytes, one of an early version as it is written.
  const signs = hashes.flatMap((hash) => [Buffer.from(hash, 'hex'), Buffer.from(hash, 'utf8')])
  const mayName = (body: Uint8Array): boolean => {
    const bytes = Buffer.from(body.buffer, body.byteOffset, body.byteLength)
    return hashes.length > FEW || signs.some((sign) => bytes.includes(sign))
  }
  let upTo = after
  while (hashes.length > 0) {
    const rows = await reader
      .selectFrom('events')
      .select(['position', 'ref', 'body'])
      .where('position', '>', upTo)
      .orderBy('position')
      .limit(EVENTS_AT_ONCE)
      .execute()
    for (const { ref, body } of rows) {
      if (!mayName(body)) continue
      const named = planHashIn(JSON.parse(unpackText(body)) as object)
      if (named !== undefined) by.get(named)?.add(ref)
    }
    const last = rows.at(-1)
    if (!last) break
    upTo = last.position
  }
  return { by, upTo }
}
