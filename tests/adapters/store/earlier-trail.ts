import { readFileSync } from 'node:fs'
import Sqlite from 'better-sqlite3'
import type { ConsultEvent } from '../../../src/consult/events.js'
import { type Link, unseal } from '../../../src/trail/chain.js'

/** The events of the invented consult in `earlier-trail.sql`, read as the first version of the schema held them. */
export async function eventsOfEarlierTrail(): Promise<readonly ConsultEvent[]> {
  const rows = readFileSync(new URL('earlier-trail.sql', import.meta.url), 'utf8').split('\n')
  const file = new Sqlite(':memory:')
  file.exec(`create table events (position, ref, version, body, previous, hash); create table texts (commitment, salt, text);`)
  for (const row of rows) if (/^insert into (?:events|texts) /.test(row)) file.exec(row)
  const links = file.prepare('select * from events order by position').all() as Link[]
  const texts = file.prepare('select commitment, text from texts').all() as { commitment: string; text: string }[]
  file.close()
  return links.map((link) => unseal(link, (commitment) => texts.find((one) => one.commitment === commitment)?.text))
}
