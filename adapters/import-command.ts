import { createReadStream } from 'node:fs'
import { type ImportVerdict, importLines, lineFeedsCut } from '../src/trail/import-lines.js'
import type { ExitCode, Terminal } from './plan-command.js'
import { appendRestored, deriveAll } from './restore-trail.js'
import type { Database } from './store/database.js'

/** Undoes the transaction; never leaves this file. */
const REFUSED = new Error('refused')

/**
 * `soundings import`: the JSON lines of a whole trail into an empty one, all of it or nothing. The search index is made
 * anew; drafts, messages on their way and settings of people are not part of a trail and do not come along.
 * @param file path of the lines
 */
export async function importCommand(
  file: string,
  database: Database,
  { out, err }: Pick<Terminal, 'out' | 'err'>,
): Promise<ExitCode> {
  const stands = await database.db.selectFrom('events').select('position').limit(1).executeTakeFirst()
  if (stands) {
    err('The trail is not empty. Import into a new one: set DATABASE_URL to a file that does not exist yet\n')
    return 2
  }
  let verdict: ImportVerdict | undefined
  try {
    await database.db.transaction().execute(async (writer) => {
      await database.lockChain(writer)
      const lines = lineFeedsCut(createReadStream(file, 'utf8'))
      verdict = await importLines(lines, {
        event: (restored) => appendRestored(writer, restored),
        act: async (act) => void (await writer.insertInto('record_acts').values(act).execute()),
      })
      if (!verdict.imported) throw REFUSED
      await deriveAll(database, writer)
      // Whether anything is to be reminded of is worked out anew for each.
      await writer
        .insertInto('waking')
        .columns(['ref', 'look_at'])
        .expression(writer.selectFrom('consults').select(['ref', 'asked_at']))
        .execute()
    })
  } catch (fault) {
    if (fault !== REFUSED) {
      const unread =
        (fault as NodeJS.ErrnoException | null)?.syscall === 'open' || (fault as NodeJS.ErrnoException | null)?.syscall === 'read'
      const why = unread
        ? 'cannot be read. Name the file that "soundings export --form lines" wrote'
        : fault instanceof Error
          ? fault.message
          : 'cannot be read'
      err(`${file}: ${why}. Nothing was imported\n`)
      return 2
    }
  }
  if (!verdict?.imported) {
    if (verdict) err(`${file}, line ${verdict.line}: ${verdict.message}. ${verdict.instead} Nothing was imported.\n`)
    return 2
  }
  out(`${verdict.events} events imported\nhead ${verdict.head}\n`)
  return 0
}
