import { fold } from '../consult/consult.js'
import type { Plan } from '../plan/plan.js'
import { type AskedFor, asksForFacts, matchesFacts } from '../trail/asked-for.js'
import { excerptOf, textsOf } from '../trail/excerpt.js'
import type { FeatureRows, PlacedRow } from '../trail/features.js'
import type { Query } from '../trail/find.js'
import { type QueryFault, readQuery } from '../trail/query-language.js'
import type { Scope, TrailReading } from '../trail/trail-store.js'
import { type Looking, sightOf } from './audience.js'
import type { Rooms } from './rooms.js'

export type SearchView = Pick<TrailReading, 'find' | 'events' | 'plan'> & FeatureRows

/** One consult on a page of what was found. */
interface Hit {
  readonly row: PlacedRow
  /** Absent where it was erased. */
  readonly plan?: Plan
  /** Where in the talk the words stand, marked. */
  readonly excerpt?: string
}

interface HitPage {
  readonly kind: 'page'
  readonly words: string
  /** From 1. */
  readonly page: number
  readonly hits: readonly Hit[]
  /** How many there are on all pages, as far as was looked. */
  readonly total: number
  /** How many more would be found if a fact that was asked for were known of them. */
  readonly notStated: number
  /** True where there may be more than was looked through. */
  readonly lookedThroughAll: boolean
}

/** Far more than anybody reads; a longer list of matches costs time and is answered by more words. */
const MOST_MATCHES = 500
/** Consults gone through, whatever was asked for. */
const MOST_ROWS = 20_000

/** `WORDS page 2`: what to look for, and which page of it. */
function pageWanted(said: string): { readonly words: string; readonly page: number } {
  const paged = /^(?<words>.*\S)\s+page\s+(?<page>[1-9]\d{0,2})$/isu.exec(said.trim())
  return { words: paged?.groups?.['words'] ?? said.trim(), page: Number(paged?.groups?.['page'] ?? 1) }
}

/**
 * Looks through the trail for what was written, best match first, and finds only what this person may see from where they
 * are; `everything` for whoever holds the database itself.
 */
export async function searchTrail(
  said: string,
  looking: Looking | 'everything',
  scope: Scope,
  perPage: number,
  view: SearchView,
  rooms?: Rooms,
): Promise<HitPage | { readonly kind: 'faults'; readonly faults: readonly QueryFault[] }> {
  const { words, page } = pageWanted(said)
  const read = readQuery(words)
  if (read.kind === 'faults') return read
  const sees = looking === 'everything' ? () => true : sightOf(looking, scope, rooms)
  const found = await rowsFor(read.query, sees, scope, view)
  const shown = found.rows.slice((page - 1) * perPage, page * perPage)
  return {
    kind: 'page',
    words,
    page,
    hits: await Promise.all(shown.map((row) => hitOf(row, read.query, view))),
    total: found.rows.length,
    notStated: found.notStated,
    lookedThroughAll: found.lookedThroughAll,
  }
}

async function rowsFor(query: AskedFor, sees: ReturnType<typeof sightOf>, scope: Scope, view: SearchView) {
  const rows: PlacedRow[] = []
  let notStated = 0
  let seen = 0
  const keep = (row: PlacedRow): void => {
    const matches = asksForFacts(query) ? matchesFacts(query, row) : 'yes'
    if (matches === 'yes' && rows.length < MOST_MATCHES) rows.push(row)
    else if (matches === 'unknown') notStated += 1
  }
  // only the first row of a room waits for the chat's answer; thousands of others do not
  const take = (row: PlacedRow): Promise<void> | undefined => {
    const seen = sees(row)
    if (seen === true) keep(row)
    if (typeof seen === 'boolean') return undefined
    return seen.then((does) => {
      if (does) keep(row)
    })
  }
  if (query.words) {
    const end = { reached: false }
    for await (const row of matchesOf(query.words, scope, view, end)) {
      const waits = take(row)
      if (waits) await waits
      if (rows.length === MOST_MATCHES) break
    }
    return { rows, notStated, lookedThroughAll: end.reached && rows.length < MOST_MATCHES }
  }
  let atTheBeginning = false
  for await (const row of view.similarRows(scope, MOST_ROWS, query.to === undefined ? undefined : dayAfter(query.to))) {
    atTheBeginning = query.from !== undefined && row.askedAt.slice(0, 10) < query.from
    if (atTheBeginning) break
    seen += 1
    const waits = take(row)
    if (waits) await waits
    if (rows.length === MOST_MATCHES) break
  }
  const whole = atTheBeginning || (seen < MOST_ROWS && rows.length < MOST_MATCHES)
  return { rows, notStated, lookedThroughAll: whole && view.factsMissing?.() !== true }
}

/**
 * The consults that have the words, best match first. Most of them may be hidden from whoever looks, or lack a fact that is
 * asked for, so they go on behind the first few hundred, in ever larger pieces, since each piece ranks all of them anew.
 */
async function* matchesOf(words: Query, scope: Scope, view: SearchView, end: { reached: boolean }): AsyncGenerator<PlacedRow> {
  const given = new Set<string>()
  for (let skip = 0; skip < MOST_ROWS; ) {
    const wanted = Math.min(Math.max(MOST_MATCHES, 3 * skip), MOST_ROWS - skip)
    const found = await view.find(words, scope, wanted, skip)
    for (let from = 0; from < found.length; from += MOST_MATCHES) {
      // One that was answered meanwhile may stand elsewhere in the next piece.
      const refs = found.slice(from, from + MOST_MATCHES).flatMap(({ ref }) => (given.has(ref) ? [] : [ref]))
      for (const ref of refs) given.add(ref)
      yield* await view.rowsOf(refs)
    }
    end.reached = found.length < wanted
    if (end.reached) return
    skip += found.length
  }
}

const DAY_MS = 24 * 60 * 60 * 1000

/** @param day ISO date */
const dayAfter = (day: string): string => new Date(Date.parse(day) + DAY_MS).toISOString().slice(0, 10)

async function hitOf(row: PlacedRow, { words }: AskedFor, view: SearchView): Promise<Hit> {
  const plan = await view.plan(row.planHash)
  const consult = words ? fold(await view.events(row.ref)) : undefined
  const excerpt = words && consult && consult.status !== 'not-asked' ? excerptOf(textsOf(consult), words) : undefined
  return { row, ...(plan ? { plan } : {}), ...(excerpt === undefined ? {} : { excerpt }) }
}
