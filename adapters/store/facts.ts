import { type AskedConsult, fold } from '../../src/consult/consult.js'
import type { MissingFacts } from '../../src/desk/store.js'
import { type FeatureRows, type PlacedRow, placedRow } from '../../src/trail/features.js'
import { isAltered, type TrailReading } from '../../src/trail/trail-store.js'
import type { Database, Reader, Writer } from './database.js'
import { eventsOf, planOf, trailReading } from './reading.js'
import { packText, unpackText } from './text-packing.js'

const ROWS_AT_ONCE = 500

/** What consults are searched and compared by. Rows are read in pieces, so that a long trail needs no more memory. */
export function factsOf(reader: Reader): FeatureRows {
  return {
    async *similarRows(scope, limit, before) {
      let last: { asked_at: string; number: number } | undefined
      for (let given = 0; given < limit; ) {
        const wanted = Math.min(ROWS_AT_ONCE, limit - given)
        let query = reader
          .selectFrom('consults')
          .innerJoin('facts', 'facts.consult', 'consults.number')
          .select(['consults.number', 'consults.asked_at', 'facts.row'])
          .orderBy('consults.asked_at', 'desc')
          .orderBy('consults.number', 'desc')
          .limit(wanted)
        if (scope !== 'everything')
          query = query.where('consults.platform', '=', scope.platform).where('consults.workspace', '=', scope.workspace)
        if (before !== undefined) query = query.where('consults.asked_at', '<', before)
        const from = last
        if (from)
          query = query
            .where('consults.asked_at', '<=', from.asked_at)
            .where(({ or, eb }) => or([eb('consults.asked_at', '<', from.asked_at), eb('consults.number', '<', from.number)]))
        const rows = await query.execute()
        for (const { row } of rows) yield JSON.parse(unpackText(row)) as PlacedRow
        given += rows.length
        last = rows.at(-1)
        if (rows.length < wanted) return
      }
    },

    async rowsOf(refs) {
      const rows = new Map<string, PlacedRow>()
      for (let from = 0; from < refs.length; from += ROWS_AT_ONCE) {
        const found = await reader
          .selectFrom('consults')
          .innerJoin('facts', 'facts.consult', 'consults.number')
          .select(['consults.ref', 'facts.row'])
          .where('consults.ref', 'in', refs.slice(from, from + ROWS_AT_ONCE))
          .execute()
        for (const { ref, row } of found) rows.set(ref, JSON.parse(unpackText(row)) as PlacedRow)
      }
      // An earlier version wrote a consult without them: they are worked out for this once, so that no search passes it over.
      for (const ref of refs.filter((one) => !rows.has(one))) {
        const consult = await consultOf(reader, ref)
        if (consult) rows.set(ref, JSON.parse(await factsText(reader, consult)) as PlacedRow)
      }
      return refs.flatMap((ref) => rows.get(ref) ?? [])
    },
  }
}

/** An existing trail, opened to be read and searched. */
export interface Reading {
  readonly trail: TrailReading & FeatureRows
  readonly close: () => Promise<void>
}

export const readingOf = (database: Database): Reading => ({
  trail: { ...trailReading(database), ...factsOf(database.db) },
  close: database.close,
})

/** The facts of a consult as they are kept: the text is the same for the same consult and plan. */
export async function factsText(reader: Reader, consult: AskedConsult): Promise<string> {
  // An altered plan is for whoever examines the trail to find; it keeps nobody from answering.
  const plan = await planOf(reader, consult.planHash).catch((fault: unknown) => {
    if (isAltered(fault)) return undefined
    throw fault
  })
  return JSON.stringify(placedRow(consult, plan))
}

/** Puts the facts of a consult in place of those it had. */
export async function keepFacts(writer: Writer, number: number, consult: AskedConsult): Promise<void> {
  const row = packText(await factsText(writer, consult))
  await writer
    .insertInto('facts')
    .values({ consult: number, row })
    .onConflict((conflict) => conflict.column('consult').doUpdateSet({ row }))
    .execute()
}

/** @param anew brings all that is derived from a consult's events up to date: an earlier version derived it otherwise */
export function missingFacts(database: Database, anew: (writer: Writer, ref: string) => Promise<void>): MissingFacts {
  let after = 0
  let anyLeft = true
  return {
    anyLeft: () => anyLeft,

    async count() {
      const missing = (await countOf(database, 'consults')) - (await countOf(database, 'facts'))
      anyLeft = missing > 0
      return Math.max(0, missing)
    },

    async make(atMost) {
      const rows = await database.db.transaction().execute(async (writer) => {
        await database.lockChain(writer)
        const without = await writer
          .selectFrom('consults')
          .leftJoin('facts', 'facts.consult', 'consults.number')
          .select(['consults.number', 'consults.ref'])
          .where('facts.consult', 'is', null)
          .where('consults.number', '>', after)
          .orderBy('consults.number')
          .limit(atMost)
          .execute()
        for (const { ref } of without) if (await consultOf(writer, ref)) await anew(writer, ref)
        return without
      })
      after = rows.at(-1)?.number ?? after
      anyLeft = rows.length === atMost
      return rows.length
    },
  }
}

/** Undefined where its events were altered: that is for whoever examines the trail to find, and keeps nobody from the others. */
async function consultOf(reader: Reader, ref: string): Promise<AskedConsult | undefined> {
  try {
    const events = await eventsOf(reader, ref)
    const consult = events[0]?.type === 'consult-asked' ? fold(events) : undefined
    return consult?.status === 'not-asked' ? undefined : consult
  } catch (fault) {
    // An event that cannot be unpacked is no JSON. Anything else comes from the database.
    if (fault instanceof SyntaxError) return undefined
    throw fault
  }
}

async function countOf({ db }: Database, table: 'consults' | 'facts'): Promise<number> {
  const { rows } = await db
    .selectFrom(table)
    .select((build) => build.fn.countAll<number>().as('rows'))
    .executeTakeFirstOrThrow()
  return Number(rows)
}
