import { userInfo } from 'node:os'
import type { Command } from 'commander'
import type { ExitCode, Terminal } from './plan-command.js'
import type { Reason } from './retention-command.js'
import type { Settings } from './settings.js'
import type { Database } from './store/database.js'

interface Parts {
  readonly terminal: Terminal
  readonly settings: () => Settings
  readonly refuse: (faults: readonly string[]) => never
}

interface Given {
  readonly because?: string
  readonly by?: string
}

const ACCESSES_SHOWN = 500

/** A reference as the trail has it, however it was typed. */
const asKept = (ref: string): string => ref.trim().toUpperCase()

/** The commands that keep the records: backup and restore, erasure, holds, time limits, who looked at what. */
export function addRecordCommands(program: Command, { terminal, settings, refuse }: Parts): void {
  const now = () => new Date().toISOString()
  const reasonOf = ({ because, by }: Given): Reason => ({ because, by: by ?? userInfo().username, at: now() })

  async function keeping(work: (database: Database) => Promise<ExitCode>): Promise<void> {
    const { openKeeping } = await import('./store/open.js')
    const { DATABASE_URL, SOUNDINGS_SEAL_KEY } = settings()
    const opened = await openKeeping(DATABASE_URL, SOUNDINGS_SEAL_KEY).catch((fault: unknown) =>
      refuse([fault instanceof Error ? fault.message : 'The trail cannot be opened']),
    )
    try {
      process.exitCode = await work(opened)
    } finally {
      await opened.close()
    }
  }

  program
    .command('backup')
    .description('a copy of the trail as it stands now, while the server runs')
    .argument('<file>', 'where the copy goes; must not be there yet')
    .action(async (file: string) => {
      const { backupCommand } = await import('./backup-command.js')
      process.exitCode = await backupCommand(settings().DATABASE_URL, file, terminal, settings().SOUNDINGS_SEAL_KEY)
    })

  program
    .command('restore')
    .description('a backup in the place of the trail; what stood there is kept under another name')
    .argument('[file]', 'the backup; with PostgreSQL none, after pg_restore')
    .action(async (file: string | undefined) => {
      const { restoreCommand } = await import('./backup-command.js')
      process.exitCode = await restoreCommand(settings().DATABASE_URL, file, now(), terminal, settings().SOUNDINGS_SEAL_KEY)
    })

  program
    .command('erase')
    .description('erase a text or a plan of a consult for good; without an id: list them')
    .argument('<ref>', 'reference of the consult')
    .argument('[id]', 'id of the text or plan, or all')
    .option('--because <reason>', 'why, for the record')
    .option('--by <name>', 'who, if not the user of this machine')
    .action((ref: string, id: string | undefined, given: Given) =>
      keeping(async (database) => {
        const { eraseCommand } = await import('./retention-command.js')
        return eraseCommand(database, asKept(ref), id, reasonOf(given), terminal)
      }),
    )

  program
    .command('hold')
    .description('legal hold: keep a consult whole, whatever its age')
    .argument('<ref>', 'reference of the consult')
    .argument('<on|off>', 'set or lift it')
    .option('--because <reason>', 'why, for the record')
    .option('--by <name>', 'who, if not the user of this machine')
    .action((ref: string, wanted: string, given: Given) =>
      keeping(async (database) => {
        const { holdCommand } = await import('./retention-command.js')
        return holdCommand(database, asKept(ref), wanted, reasonOf(given), terminal)
      }),
    )

  program
    .command('retention')
    .description('consults past the time limit of SOUNDINGS_RETENTION_DAYS')
    .option('--dry-run', 'only list them; the default')
    .option('--apply', 'erase their texts and plans', false)
    .option('--because <reason>', 'why, for the record')
    .option('--by <name>', 'who, if not the user of this machine')
    .action((given: Given & { readonly apply: boolean; readonly dryRun?: boolean }) => {
      if (given.apply && given.dryRun) refuse(['Write --dry-run or --apply, not both'])
      return keeping(async (database) => {
        const { retentionCommand } = await import('./retention-command.js')
        const { SOUNDINGS_RETENTION_DAYS: days } = settings()
        return retentionCommand(database, { days, apply: given.apply }, reasonOf(given), terminal)
      })
    })

  program
    .command('access')
    .description('who has looked at a consult, and what was done to its records')
    .argument('<ref>', 'reference of the consult')
    .action((ref: string) =>
      keeping(async (database) => {
        const { accessCommand } = await import('./retention-command.js')
        const { accessLogOf } = await import('./store/access-log.js')
        return accessCommand(database, await accessLogOf(database).newest(ACCESSES_SHOWN, asKept(ref)), asKept(ref), terminal)
      }),
    )
}
