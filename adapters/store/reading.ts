import type { ConsultAsked, ConsultEvent } from '../../src/consult/events.js'
import type { Plan } from '../../src/plan/plan.js'
import { commitmentsOf, type Link, sha256, unseal } from '../../src/trail/chain.js'
import { type Found, PLAN_ALTERED, type Scope, type TrailReading } from '../../src/trail/trail-store.js'
import type { KeptText } from '../../src/trail/verify.js'
import { type Database, type FoundRow, fault, type Reader } from './database.js'
import { unpackPlan } from './plan-packing.js'
import type { EventRow } from './tables.js'
import { hashBytes, hashText, packText, unpackText } from './text-packing.js'

const LINKS_AT_ONCE = 500

/** Reading the trail. Needs no lock: other processes may read while one writes. */
export function trailReading(database: Pick<Database, 'db' | 'search'>): TrailReading {
  const { db } = database
  return {
    events: (ref) => eventsOf(db, ref),
    plan: (hash) => planOf(db, hash),

    async find(query, scope, limit, skip = 0) {
      return (await database.search(query, scope, limit, skip)).map(foundIn)
    },

    async newest(scope, limit) {
      let query = db
        .selectFrom('consults')
        .innerJoin('events', 'events.ref', 'consults.ref')
        .select(['consults.ref', 'consults.opinions', 'events.body'])
        .where('events.version', '=', 1)
        .orderBy('consults.asked_at', 'desc')
        .orderBy('consults.number', 'desc')
        .limit(limit)
      if (scope !== 'everything')
        query = query.where('consults.platform', '=', scope.platform).where('consults.workspace', '=', scope.workspace)
      return (await query.execute()).map(foundIn)
    },

    async *links() {
      for (let after = 0; ; ) {
        const rows = await db
          .selectFrom('events')
          .selectAll()
          .where('position', '>', after)
          .orderBy('position')
          .limit(LINKS_AT_ONCE)
          .execute()
        for (const row of rows) yield linkOf(row)
        const last = rows.at(-1)
        if (!last) return
        after = last.position
      }
    },

    async keptText(commitment): Promise<KeptText> {
      const row = await db.selectFrom('texts').selectAll().where('commitment', '=', hashBytes(commitment)).executeTakeFirst()
      if (!row) return undefined
      return row.salt === null || row.text === null ? 'erased' : { salt: row.salt, text: readable(row.text) }
    },

    async planErased(hash) {
      const row = await db.selectFrom('plans').select('body').where('hash', '=', hashBytes(hash)).executeTakeFirst()
      return row?.body.length === 0
    },

    async *recordActs() {
      for (let after = 0; ; ) {
        const rows = await db
          .selectFrom('record_acts')
          .selectAll()
          .where('number', '>', after)
          .orderBy('number')
          .limit(LINKS_AT_ONCE)
          .execute()
        yield* rows
        const last = rows.at(-1)
        if (!last) return
        after = last.number
      }
    },
  }
}

/** References of the consults that still wait for something, newest first. */
export async function openConsults(reader: Reader, scope: Scope, limit: number): Promise<readonly string[]> {
  let query = reader
    .selectFrom('consults')
    .select('ref')
    .where('status', 'in', ['asked', 'decided', 'operated'])
    .orderBy('asked_at', 'desc')
    .orderBy('number', 'desc')
    .limit(limit)
  if (scope !== 'everything') query = query.where('platform', '=', scope.platform).where('workspace', '=', scope.workspace)
  const rows = await query.execute()
  return rows.map(({ ref }) => ref)
}

export async function eventsOf(reader: Reader, ref: string): Promise<readonly ConsultEvent[]> {
  return unsealAll(reader, await linksOf(reader, ref))
}

/** The sealed events of one consult, oldest first. */
export async function linksOf(reader: Reader, ref: string): Promise<readonly Link[]> {
  const rows = await reader.selectFrom('events').selectAll().where('ref', '=', ref).orderBy('version').execute()
  return rows.map(linkOf)
}

/** A row that cannot be unpacked was altered: its body then reads as what is no event, and no hash fits it. */
export const linkOf = (row: EventRow): Link => ({
  ...row,
  body: readable(row.body),
  previous: hashText(row.previous),
  hash: hashText(row.hash),
})
export const eventRow = (link: Link): EventRow => ({
  ...link,
  body: packText(link.body),
  previous: hashBytes(link.previous),
  hash: hashBytes(link.hash),
})

const readable = (packed: Uint8Array): string => {
  try {
    return unpackText(packed)
  } catch {
    return ''
  }
}

async function unsealAll(reader: Reader, links: readonly Pick<Link, 'body'>[]): Promise<readonly ConsultEvent[]> {
  const commitments = links.flatMap(commitmentsOf)
  const rows =
    commitments.length === 0
      ? []
      : await reader
          .selectFrom('texts')
          .select(['commitment', 'text'])
          .where('commitment', 'in', commitments.map(hashBytes))
          .execute()
  const texts = new Map(rows.map(({ commitment, text }) => [hashText(commitment), text === null ? undefined : readable(text)]))
  return links.map((link) => unseal(link, (commitment) => texts.get(commitment)))
}

export async function planOf(reader: Reader, hash: string): Promise<Plan | undefined> {
  const row = await reader.selectFrom('plans').select('body').where('hash', '=', hashBytes(hash)).executeTakeFirst()
  // A plan that was erased is there no more than one that never was; its hash still stands in the trail.
  if (!row || row.body.length === 0) return undefined
  const altered = (cause?: unknown) =>
    fault(PLAN_ALTERED, `The plan kept under ${hash.slice(0, 12)}… is not the plan that was written there`, cause)
  // What cannot be unpacked at all was altered as surely as what reads otherwise; a database that does not answer says nothing.
  const text = await unpackPlan(reader, row.body).catch((cause: unknown) => {
    throw lieInTheBytes(cause) ? altered(cause) : cause
  })
  if (sha256(text) !== hash) throw altered()
  // An old plan is read as it was: it may have been written by an earlier version, so no present schema is put on it.
  return JSON.parse(text) as Plan
}

/**
 * Whether the bytes that were read are why a plan cannot be unpacked: they inflate to nothing (zlib), are no numbers or text of
 * ours, or name pieces by numbers that no database has (SQLSTATE class 22, data exceptions). Anything else comes from the database.
 */
function lieInTheBytes(cause: unknown): boolean {
  if (cause instanceof SyntaxError || cause instanceof RangeError || cause instanceof TypeError) return true
  const code = String((cause as { readonly code?: unknown } | null)?.code ?? '')
  return /^(?:Z_|ERR_|22[0-9A-Z]{3}$)/.test(code)
}

// Who asked, when and where stand in the sealed body as they are; only free texts are replaced there.
function foundIn({ ref, opinions, body }: FoundRow): Found {
  const { by, at, place, planHash } = JSON.parse(unpackText(body)) as ConsultAsked
  return { ref, askedAt: at, askedBy: by, place, planHash, opinions }
}
