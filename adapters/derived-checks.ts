import type { ConsultEvent } from '../src/consult/events.js'
import { commitmentsOf } from '../src/trail/chain.js'
import { planHashIn } from '../src/trail/export-lines.js'
import { derivedFrom } from './store/appending.js'
import type { Reader } from './store/database.js'
import { type ConsultWords, check, type Examining, NAMED, noSearch, type TableCheck } from './store/examining.js'
import { factsText } from './store/facts.js'
import { eventsOf, trailReading } from './store/reading.js'
import { hashBytes, hashText, unpackText } from './store/text-packing.js'

const CONSULTS_AT_ONCE = 500

/** What is derived from the events, derived anew and compared: the list of consults, their facts, the search index. */
export async function derivedChecks({
  reader,
  searchFaults,
}: Pick<Examining, 'reader' | 'searchFaults'>): Promise<readonly TableCheck[]> {
  const list: string[] = []
  const facts: string[] = []
  const search = await searchFaults(consultsHeldAgainst(reader, list, facts))
  const strays = await reader
    .selectFrom('consults')
    .leftJoin('events', (join) => join.onRef('events.ref', '=', 'consults.ref').on('events.version', '=', 1))
    .select('consults.ref')
    .where('events.ref', 'is', null)
    .limit(NAMED)
    .execute()
  const strayFacts = await reader
    .selectFrom('facts')
    .leftJoin('consults', 'consults.number', 'facts.consult')
    .select('facts.consult')
    .where('consults.number', 'is', null)
    .limit(NAMED)
    .execute()
  return [
    check('list of consults', [
      ...list.slice(0, NAMED),
      ...strays.map(({ ref }) => `${ref} is not as the events say: it was never asked`),
    ]),
    check('facts of consults', [
      ...facts.slice(0, NAMED),
      ...strayFacts.map(({ consult }) => `number ${consult} belongs to no consult`),
    ]),
    check('search index', search),
  ]
}

/** Each consult that was asked, with the words it should be found by, in the order of asking; what differs is added to the lists. */
async function* consultsHeldAgainst(reader: Reader, list: string[], facts: string[]): AsyncGenerator<ConsultWords> {
  let last = 0
  for await (const ref of consultsAsked(reader)) {
    const { consult, row, words } = derivedFrom(ref, await eventsOf(reader, ref))
    const found = await reader
      .selectFrom('consults')
      .leftJoin('facts', 'facts.consult', 'consults.number')
      .selectAll('consults')
      .select('facts.row')
      .where('consults.ref', '=', ref)
      .executeTakeFirst()
    if (!found) {
      list.push(`${ref} is missing as the events say it`)
      continue
    }
    const { number, row: kept } = found
    if (Object.entries(row).some(([column, value]) => found[column as keyof typeof row] !== value))
      list.push(`${ref} is not as the events say`)
    if (number <= last) list.push(`${ref} does not stand in the order of asking`)
    last = number
    if (kept === null)
      facts.push(
        `${ref} has none, so it is found by no range and compared with nothing; after an update the server makes them while it runs`,
      )
    else if (unpacked(kept) !== (await factsText(reader, consult))) facts.push(`${ref} is not as its events and its plan say`)
    yield { number, ref, platform: row.platform, workspace: row.workspace, words }
  }
}

async function* consultsAsked(reader: Reader): AsyncGenerator<string> {
  for (let after = 0; ; ) {
    const rows = await reader
      .selectFrom('events')
      .select(['position', 'ref'])
      .where('version', '=', 1)
      .where('position', '>', after)
      .orderBy('position')
      .limit(CONSULTS_AT_ONCE)
      .execute()
    for (const { ref } of rows) yield ref
    const last = rows.at(-1)
    if (!last) return
    after = last.position
  }
}

/** Texts and plans that no event names: put in by hand, or left behind by an event that was taken out. */
export async function unnamedChecks({ reader, trail }: Pick<Examining, 'reader' | 'trail'>): Promise<readonly TableCheck[]> {
  const named = { texts: new Set<string>(), plans: new Set<string>() }
  for await (const link of trail.links()) {
    const event = JSON.parse(link.body) as ConsultEvent
    const hash = planHashIn(event)
    if (hash !== undefined) named.plans.add(hash)
    for (const commitment of commitmentsOf(link)) named.texts.add(commitment)
  }
  const count = async (table: 'texts' | 'plans') => {
    const { rows } = await reader
      .selectFrom(table)
      .select((build) => build.fn.countAll().as('rows'))
      .executeTakeFirstOrThrow()
    return Number(rows)
  }
  const texts = await strangers(named.texts, await count('texts'), (after) =>
    reader
      .selectFrom('texts')
      .select('commitment as id')
      .where('commitment', '>', after)
      .orderBy('commitment')
      .limit(CONSULTS_AT_ONCE)
      .execute(),
  )
  const plans = await strangers(named.plans, await count('plans'), (after) =>
    reader.selectFrom('plans').select('hash as id').where('hash', '>', after).orderBy('hash').limit(CONSULTS_AT_ONCE).execute(),
  )
  return [check('texts', texts), check('plans', plans)]
}

/** All that is named is there, or the chain would not have been found whole; so it is only searched through when there is more. */
async function strangers(
  named: ReadonlySet<string>,
  rows: number,
  next: (after: Uint8Array) => Promise<readonly { readonly id: Uint8Array }[]>,
): Promise<readonly string[]> {
  if (rows === named.size) return []
  const faults: string[] = []
  for (let after: Uint8Array = new Uint8Array(); faults.length < NAMED; ) {
    const found = await next(after)
    for (const id of found.map((row) => hashText(row.id)))
      if (!named.has(id)) faults.push(`${id.slice(0, 12)}… is named by no event`)
    const last = found.at(-1)
    if (!last) break
    after = last.id
  }
  return faults.slice(0, NAMED)
}

/** What is erased must be named by an act on the records, and what an act calls erased must be gone. */
export async function erasureFaults(reader: Reader): Promise<readonly string[]> {
  const said = { texts: await subjectsOf(reader, 'text-erased'), plans: await subjectsOf(reader, 'plan-erased') }
  const gone = {
    texts: await reader.selectFrom('texts').select('commitment as id').where('text', 'is', null).execute(),
    plans: await reader.selectFrom('plans').select('hash as id').where('body', '=', new Uint8Array()).execute(),
  }
  const standing = { texts: await textsStanding(reader, [...said.texts.keys()]), plans: await plansStanding(reader, said.plans) }
  return (['texts', 'plans'] as const).flatMap((table) => [
    ...gone[table]
      .map(({ id }) => hashText(id))
      .filter((id) => !said[table].has(id))
      .slice(0, NAMED)
      .map((id) => `${table}: ${id.slice(0, 12)}… is empty, and nobody is recorded to have erased it`),
    ...standing[table].slice(0, NAMED).map((id) => `${table}: ${id.slice(0, 12)}… is recorded as erased, and stands there`),
  ])
}

/** What was erased, with the times at which it was. */
async function subjectsOf(reader: Reader, act: 'text-erased' | 'plan-erased'): Promise<ReadonlyMap<string, readonly string[]>> {
  const rows = await reader.selectFrom('record_acts').select(['subject', 'at']).where('act', '=', act).execute()
  const subjects = new Map<string, string[]>()
  for (const { subject, at } of rows) subjects.set(subject, [...(subjects.get(subject) ?? []), at])
  return subjects
}

async function textsStanding(reader: Reader, erased: readonly string[]): Promise<readonly string[]> {
  const standing: string[] = []
  for (let from = 0; from < erased.length; from += CONSULTS_AT_ONCE) {
    const rows = await reader
      .selectFrom('texts')
      .select('commitment')
      .where('text', 'is not', null)
      .where('commitment', 'in', erased.slice(from, from + CONSULTS_AT_ONCE).map(hashBytes))
      .execute()
    standing.push(...rows.map(({ commitment }) => hashText(commitment)))
  }
  return standing
}

/** Plans that were erased and stand again, though nobody has put the same case since. */
async function plansStanding(reader: Reader, erased: ReadonlyMap<string, readonly string[]>): Promise<readonly string[]> {
  const suspect = new Map<string, string>()
  for (const [hash, times] of erased) {
    const row = await reader.selectFrom('plans').select('body').where('hash', '=', hashBytes(hash)).executeTakeFirst()
    if (row && row.body.length > 0) suspect.set(hash, times.toSorted().at(-1) ?? '')
  }
  // Only then is it worth reading through the events: a packed one cannot be asked for the plan that it names.
  if (suspect.size > 0) {
    for await (const link of trailReading({ db: reader, search: noSearch }).links()) {
      const event = JSON.parse(link.body) as ConsultEvent
      const hash = planHashIn(event)
      const erasedAt = hash === undefined ? undefined : suspect.get(hash)
      if (hash !== undefined && erasedAt !== undefined && event.at > erasedAt) suspect.delete(hash)
    }
  }
  return [...suspect.keys()]
}

const unpacked = (row: Uint8Array): string | undefined => {
  try {
    return unpackText(row)
  } catch {
    return undefined
  }
}
