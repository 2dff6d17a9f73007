import type { ConsultAsked, ConsultEvent } from '../../src/consult/events.js'
import type { Plan } from '../../src/plan/plan.js'
import { commitmentsOf, type Link, sha256, unseal } from '../../src/trail/chain.js'
import type { Found, Scope, TrailReading } from '../../src/trail/trail-store.js'
import type { KeptText } from '../../src/trail/verify.js'
import { type Database, fault, type Reader } from './database.js'
import { unpackText } from './plan-packing.js'
import type { ConsultRow } from './tables.js'

const LINKS_AT_ONCE = 500

/** Reading the trail. Needs no lock: other processes may read while one writes. */
export function trailReading(database: Pick<Database, 'db' | 'search'>): TrailReading {
  const { db } = database
  return {
    events: (ref) => eventsOf(db, ref),
    plan: (hash) => planOf(db, hash),

    async find(query, scope, limit) {
      const numbers = await database.search(query, scope, limit)
      if (numbers.length === 0) return []
      const rows = await db.selectFrom('consults').selectAll().where('number', 'in', numbers).execute()
      const byNumber = new Map(rows.map((row) => [row.number, row]))
      return foundOf(
        db,
        numbers.flatMap((number) => byNumber.get(number) ?? []),
      )
    },

    async newest(scope, limit) {
      let query = db.selectFrom('consults').selectAll().orderBy('asked_at', 'desc').orderBy('number', 'desc').limit(limit)
      if (scope !== 'everything') query = query.where('platform', '=', scope.platform).where('workspace', '=', scope.workspace)
      return foundOf(db, await query.execute())
    },

    async *links() {
      for (let after = 0; ; ) {
        const rows: Link[] = await db
          .selectFrom('events')
          .selectAll()
          .where('position', '>', after)
          .orderBy('position')
          .limit(LINKS_AT_ONCE)
          .execute()
        yield* rows
        const last = rows.at(-1)
        if (!last) return
        after = last.position
      }
    },

    async keptText(commitment): Promise<KeptText> {
      const row = await db.selectFrom('texts').selectAll().where('commitment', '=', commitment).executeTakeFirst()
      if (!row) return undefined
      return row.salt === null || row.text === null ? 'erased' : { salt: row.salt, text: row.text }
    },

    async planErased(hash) {
      const row = await db.selectFrom('plans').select('body').where('hash', '=', hash).executeTakeFirst()
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
  const links = await reader.selectFrom('events').selectAll().where('ref', '=', ref).orderBy('version').execute()
  return unsealAll(reader, links)
}

async function unsealAll(reader: Reader, links: readonly Pick<Link, 'body'>[]): Promise<readonly ConsultEvent[]> {
  const commitments = links.flatMap(commitmentsOf)
  const rows =
    commitments.length === 0
      ? []
      : await reader.selectFrom('texts').select(['commitment', 'text']).where('commitment', 'in', commitments).execute()
  const texts = new Map(rows.map(({ commitment, text }) => [commitment, text ?? undefined]))
  return links.map((link) => unseal(link, (commitment) => texts.get(commitment)))
}

export async function planOf(reader: Reader, hash: string): Promise<Plan | undefined> {
  const row = await reader.selectFrom('plans').select('body').where('hash', '=', hash).executeTakeFirst()
  // A plan that was erased is there no more than one that never was; its hash still stands in the trail.
  if (!row || row.body.length === 0) return undefined
  const altered = (cause?: unknown) =>
    fault('STORE.PLAN-ALTERED', `The plan kept under ${hash.slice(0, 12)}… is not the plan that was written there`, cause)
  // What cannot be unpacked at all was altered as surely as what reads otherwise.
  const text = await unpackText(reader, row.body).catch((cause: unknown) => {
    throw altered(cause)
  })
  if (sha256(text) !== hash) throw altered()
  // An old plan is read as it was: it may have been written by an earlier version, so no present schema is put on it.
  return JSON.parse(text) as Plan
}

async function foundOf(reader: Reader, rows: readonly ConsultRow[]): Promise<readonly Found[]> {
  if (rows.length === 0) return []
  const refs = rows.map(({ ref }) => ref)
  const first = await reader
    .selectFrom('events')
    .select(['ref', 'body'])
    .where('ref', 'in', refs)
    .where('version', '=', 1)
    .execute()
  // Who asked, when and where stand in the sealed body as they are; only free texts are replaced there.
  const asked = new Map(first.map(({ ref, body }) => [ref, JSON.parse(body) as ConsultAsked]))
  return rows.flatMap((row) => {
    const event = asked.get(row.ref)
    if (!event) return []
    const { by, at, place, planHash } = event
    return [{ ref: row.ref, askedAt: at, askedBy: by, place, planHash, opinions: row.opinions }]
  })
}
