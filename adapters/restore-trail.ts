import type { Restored } from '../src/trail/import-lines.js'
import { derive } from './store/appending.js'
import type { Database, Writer } from './store/database.js'
import { packPlan } from './store/plan-packing.js'
import { eventRow } from './store/reading.js'
import { hashBytes, textRow } from './store/text-packing.js'

/** Puts one event back as it was written: same place, same hash, same salts. The search index is brought along at the end. */
export async function appendRestored(writer: Writer, { link, texts, plan }: Restored): Promise<void> {
  if (plan) {
    const packed = plan.plan === 'erased' ? { hash: plan.hash, body: new Uint8Array() } : await packPlan(writer, plan.plan)
    if (packed.hash !== plan.hash) throw new Error('A plan does not have the hash it was to be kept under')
    await writer
      .insertInto('plans')
      .values({ hash: hashBytes(plan.hash), body: packed.body })
      .onConflict((conflict) => conflict.column('hash').doNothing())
      .execute()
  }
  await writer.insertInto('events').values(eventRow(link)).execute()
  for (const text of texts) {
    const row = 'text' in text ? textRow(text) : { commitment: hashBytes(text.commitment), salt: null, text: null }
    await writer.insertInto('texts').values(row).execute()
  }
}

const CONSULTS_AT_ONCE = 500

/** Derives the row and the search words of every consult, in the order in which they were asked. */
export async function deriveAll(database: Database, writer: Writer): Promise<void> {
  for (let after = 0; ; ) {
    const rows = await writer
      .selectFrom('events')
      .select(['position', 'ref'])
      .where('version', '=', 1)
      .where('position', '>', after)
      .orderBy('position')
      .limit(CONSULTS_AT_ONCE)
      .execute()
    for (const { ref } of rows) await derive(database, writer, ref)
    const last = rows.at(-1)
    if (!last) return
    after = last.position
  }
}
