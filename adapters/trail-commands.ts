import { readFileSync } from 'node:fs'
import { userInfo } from 'node:os'
import { join } from 'node:path'
import { type Command, Option } from 'commander'
import type { Person } from '../src/consult/people.js'
import { makePlan } from '../src/plan/make-plan.js'
import { EXPORT_FORMS, type ExportOptions, exportCommand } from './export-command.js'
import { projectFolder, readGround } from './ground.js'
import { importCommand } from './import-command.js'
import { recomputeCommand } from './recompute-command.js'
import type { Wiring } from './rules-commands.js'
import type { Settings } from './settings.js'
import { accessLogOf } from './store/access-log.js'
import type { Database } from './store/database.js'
import { databaseKind, openKeeping } from './store/open.js'
import { openPostgresDatabase } from './store/postgres/open.js'
import { openSqliteDatabase } from './store/sqlite/open.js'
import { openTrail } from './trail-file.js'
import { openForChecking } from './trail-tables.js'
import { verifyCommand } from './verify-command.js'

/** `soundings verify`, `soundings export` and `soundings import`. */
export function addTrailCommands(program: Command, { terminal, settings, refuse }: Wiring): void {
  const opened = async <Opened>(open: () => Opened | Promise<Opened>): Promise<Opened> => {
    try {
      return await open()
    } catch (fault) {
      return refuse([fault instanceof Error ? fault.message : 'The trail cannot be opened'])
    }
  }

  program
    .command('verify')
    .description('read the whole trail and say whether it is as it was written')
    .option('--checkpoint <hash>', 'the checkpoint that an earlier run printed: all of it must still be there')
    .option('--recompute', 'make past plans of the present versions again and compare them to the bit', false)
    .action(async (options: { readonly checkpoint?: string; readonly recompute: boolean }) => {
      const { DATABASE_URL, SOUNDINGS_SEAL_KEY, ...others } = settings()
      const read = options.recompute ? await readGround(others, 'allowed') : undefined
      if (read && 'faults' in read) return refuse(read.faults)
      const checking = await opened(() => openForChecking(DATABASE_URL, SOUNDINGS_SEAL_KEY))
      try {
        const code = await verifyCommand(checking, options, terminal)
        // A trail that is not whole gives no plans to compare.
        process.exitCode =
          code === 0 && read ? await recomputeCommand(checking.trail, (known) => makePlan(known, read.ground), terminal) : code
      } finally {
        await checking.close()
      }
    })

  program
    .command('seal')
    .description('seal every row anew, such as under a key that was set or changed; stop the servers first')
    .option('--because <reason>', 'why, for the record')
    .option('--by <name>', 'who, if not the user of this machine')
    .option('--unchecked', 'without examining the trail under its present seals first', false)
    .action(async (options: { readonly because?: string; readonly by?: string; readonly unchecked: boolean }) => {
      const { DATABASE_URL, SOUNDINGS_SEAL_KEY: secret, SOUNDINGS_SEAL_KEY_BEFORE: before } = settings()
      const { sealCommand } = await import('./seal-command.js')
      const by = options.by ?? userInfo().username
      const { because, unchecked } = options
      const sealing = { because, by, at: new Date().toISOString(), secret, before, unchecked }
      process.exitCode = await opened(() => sealCommand(DATABASE_URL, sealing, terminal))
    })

  program
    .command('export')
    .description('the trail for machines (lines), for people (csv) or for other systems (fhir)')
    .addOption(new Option('--form <form>', 'form to write').choices(EXPORT_FORMS).makeOptionMandatory())
    .option('--from <day>', 'consults asked on this day or later, such as 2026-03-02')
    .option('--to <day>', 'consults asked on this day or earlier')
    .option('--ref <reference>', 'one consult')
    .option('--names', 'csv and fhir: colleagues by name instead of by number', false)
    .option('--out <file>', 'a new file; standard output unless told')
    .action(async (options: ExportOptions) => {
      const { DATABASE_URL, SOUNDINGS_SEAL_KEY } = settings()
      await opened(() => noteExport(DATABASE_URL, SOUNDINGS_SEAL_KEY, options))
      const { trail, close } = await opened(() => openedTrail(DATABASE_URL))
      process.exitCode = await exportCommand(trail, options, terminal, process.stdout, version())
        .catch((fault: unknown) => {
          terminal.err(`${fault instanceof Error ? fault.message : String(fault)}\n`)
          return 1
        })
        .finally(close)
    })

  program
    .command('import')
    .description('a whole trail from its lines, into an empty one')
    .argument('<file>', 'what "soundings export --form lines" wrote')
    .action(async (file: string) => {
      const database = await opened(() => openToImport(settings()))
      process.exitCode = await importCommand(file, database, terminal).finally(database.close)
    })
}

const version = (): string =>
  (JSON.parse(readFileSync(join(projectFolder(), 'package.json'), 'utf8')) as { version: string }).version

async function openedTrail(url: string) {
  const opened = await openTrail(url)
  if ('fault' in opened) throw new Error(opened.fault)
  return opened
}

async function openToImport({ DATABASE_URL, SOUNDINGS_SEAL_KEY }: Settings): Promise<Database> {
  const named = databaseKind(DATABASE_URL)
  return named.kind === 'sqlite'
    ? openSqliteDatabase(named.path, SOUNDINGS_SEAL_KEY)
    : openPostgresDatabase(named.url, SOUNDINGS_SEAL_KEY)
}

/** Who takes the trail out of the house is written down before anything leaves it. */
async function noteExport(url: string, secret: string | undefined, { form, from, to, ref }: ExportOptions): Promise<void> {
  const database = await openKeeping(url, secret)
  const { username } = userInfo()
  const by: Pick<Person, 'id' | 'name'> = { id: `terminal:${username}`, name: username }
  const words = [form, ...(from === undefined ? [] : [`from ${from}`]), ...(to === undefined ? [] : [`to ${to}`])].join(' ')
  try {
    const at = new Date().toISOString()
    await accessLogOf(database).note({ by, what: 'exported', words, at, ...(ref === undefined ? {} : { ref }) })
  } finally {
    await database.close()
  }
}
