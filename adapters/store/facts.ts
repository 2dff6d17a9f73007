import { type AskedConsult, fold } from '../../src/consult/consult.js'
import { type FeatureRows, type PlacedRow, placedRow } from '../../src/trail/features.js'
import type { TrailReading } from '../../src/trail/trail-store.js'
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
  const plan = await planOf(reader, consult.planHash).catch(() => undefined)
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

/** Says how far a long piece of work at the opening has come. */
export type Progress = (done: number, of: number) => void

/**
 * Makes the facts of consults that an earlier version wrote without them: in pieces of their own, so that memory does not
 * grow with the trail and what was made stays made when the program is stopped meanwhile. A trail that has them all is
 * only counted.
 */
export async function fillFacts(database: Database, progress?: Progress, atOnce = ROWS_AT_ONCE): Promise<void> {
  const missing = (await countOf(database, 'consults')) - (await countOf(database, 'facts'))
  if (missing <= 0) return
  let done = 0
  for (let after = 0; ; ) {
    const from = after
    const filled = await database.db.transaction().execute(async (writer) => {
      await database.lockChain(writer)
      const rows = await writer
        .selectFrom('consults')
        .leftJoin('facts', 'facts.consult', 'consults.number')
        .select(['consults.number', 'consults.ref'])
        .where('facts.consult', 'is', null)
        .where('consults.number', '>', from)
        .orderBy('consults.number')
        .limit(atOnce)
        .execute()
      for (const { number, ref } of rows) {
        const consult = fold(await eventsOf(writer, ref))
        if (consult.status === 'not-asked') throw new Error(`The trail is broken: ${ref} was not asked`)
        await keepFacts(writer, number, consult)
      }
      return rows
    })
    done += filled.length
    progress?.(done, Math.max(missing, done))
    const last = filled.at(-1)
    if (last === undefined || filled.length < atOnce) return
    after = last.number
  }
}

async function countOf({ db }: Database, table: 'consults' | 'facts'): Promise<number> {
  const { rows } = await db
    .selectFrom(table)
    .select((build) => build.fn.countAll<number>().as('rows'))
    .executeTakeFirstOrThrow()
  return Number(rows)
}
