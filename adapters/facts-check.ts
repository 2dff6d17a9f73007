import { fold } from '../src/consult/consult.js'
import type { Reader } from './store/database.js'
import { factsText } from './store/facts.js'
import { eventsOf } from './store/reading.js'

const MOST_NAMED = 5

/** Consults whose facts for searching and comparing are not as their events and their plan say. */
export async function factFaults(reader: Reader): Promise<readonly string[]> {
  const faults: string[] = []
  const rows = await reader
    .selectFrom('consults')
    .leftJoin('facts', 'facts.consult', 'consults.number')
    .select(['consults.ref', 'facts.row'])
    .orderBy('consults.number')
    .execute()
  for (const { ref, row } of rows) {
    const consult = fold(await eventsOf(reader, ref))
    // A consult that was never asked is named where the list of consults is checked.
    if (consult.status === 'not-asked') continue
    if (row === null) faults.push(`${ref} has none, so it is found by no range and compared with nothing`)
    else if (row !== (await factsText(reader, consult))) faults.push(`${ref} is not as its events and its plan say`)
    if (faults.length === MOST_NAMED) return faults
  }
  const strays = await reader
    .selectFrom('facts')
    .leftJoin('consults', 'consults.number', 'facts.consult')
    .select('facts.consult')
    .where('consults.number', 'is', null)
    .limit(MOST_NAMED)
    .execute()
  return [...faults, ...strays.map(({ consult }) => `number ${consult} belongs to no consult`)]
}
