import { z } from 'zod'
import { caseSchema } from '../../src/case/case.js'
import type { Place } from '../../src/consult/people.js'
import { isSpokenOfAt } from '../../src/desk/put-case.js'
import type { DraftAsking, DraftChange, KeptDraft } from '../../src/desk/store.js'
import type { Reader, Writer } from './database.js'
import { unpackPlan } from './plan-packing.js'
import { packUnshared } from './plan-packing-earlier.js'
import { wellFormed } from './well-formed.js'

/** What a draft keeps of its plan: what it is made from, and what tells whether the same was made again. */
const plannedSchema = z.strictObject({ case: caseSchema, fingerprint: z.string() })

/** @returns false when the draft is no longer in a state for it, so that one draft never makes two consults */
export async function applyDraftChange(writer: Writer, change: DraftChange): Promise<boolean> {
  if (change.change === 'put') {
    const { id, by, place, at, text, fingerprint, blockedBy, asking } = change.draft
    await writer
      .insertInto('drafts')
      .values({
        id,
        state: 'open',
        person: by,
        place: JSON.stringify(place),
        at,
        text: wellFormed(text),
        plan: packUnshared(JSON.stringify({ case: change.draft.case, fingerprint })),
        blocked_by: JSON.stringify(blockedBy),
        ref: null,
        asking: asking === undefined ? null : JSON.stringify(asking),
      })
      .execute()
    return true
  }
  const set =
    change.change === 'corrected'
      ? { state: 'corrected' as const }
      : { state: change.change, text: null, plan: null, asking: null, ref: change.change === 'posted' ? change.ref : null }
  const { numUpdatedRows } = await writer
    .updateTable('drafts')
    .set(set)
    .where('id', '=', change.id)
    .where('state', 'in', change.change === 'cancelled' ? ['open', 'corrected'] : ['open'])
    .executeTakeFirstOrThrow()
  return numUpdatedRows === 1n
}

// A person rarely has more previews open than these; an older one is still reached by its buttons.
const LOOKED_AT = 20

/** The newest draft that this person can still act on in this channel. */
export async function newestDraftOf(reader: Reader, by: string, at: Place): Promise<string | undefined> {
  const rows = await reader
    .selectFrom('drafts')
    .select(['id', 'place', 'asking'])
    .where('person', '=', by)
    .where('state', 'in', ['open', 'corrected'])
    .orderBy('number', 'desc')
    .limit(LOOKED_AT)
    .execute()
  const here = rows.find((row) => {
    const asking = row.asking === null ? undefined : (JSON.parse(row.asking) as DraftAsking)
    return isSpokenOfAt(at, JSON.parse(row.place) as Place, asking)
  })
  return here?.id
}

export async function draftOf(reader: Reader, id: string): Promise<KeptDraft | undefined> {
  const row = await reader.selectFrom('drafts').selectAll().where('id', '=', id).executeTakeFirst()
  if (!row) return undefined
  const { state, person: by, at } = row
  const place = JSON.parse(row.place) as Place
  if (state === 'posted') return { state, id, by, place, ref: row.ref ?? '' }
  if (state === 'cancelled') return { state, id, by, place }
  if (row.text === null || row.plan === null) throw new Error(`The draft ${id} has lost its text`)
  const asking = row.asking === null ? {} : { asking: JSON.parse(row.asking) as DraftAsking }
  const kept = { id, by, place, at, text: row.text, blockedBy: JSON.parse(row.blocked_by) as string[], ...asking }
  // What is posted now is posted by this version, so its case must fit the present schema. Early versions kept the plan itself.
  const planned = plannedSchema.safeParse(JSON.parse(await unpackPlan(reader, row.plan)))
  return planned.success ? { state, ...kept, ...planned.data } : { state: 'outdated', ...kept }
}
