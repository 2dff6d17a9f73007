import { type Checkpoint, checkpointText } from '../src/trail/checkpoint.js'
import { examineLog, type LogSeen } from '../src/trail/record-acts.js'
import { type ChainEnd, SEALED, SEALED_TABLES, type SealsRow, SUMMED, SUMMED_TABLES } from '../src/trail/seals.js'
import type { TrailReading } from '../src/trail/trail-store.js'
import { derivedChecks, erasureFaults, unnamedChecks } from './derived-checks.js'
import { QUEUES } from './queue-checks.js'
import { type SealCheck, sealCheck } from './seal-checks.js'
import { accessRows } from './store/access-log.js'
import { check, type Examining, NAMED, type TableCheck } from './store/examining.js'
import { openExamining } from './store/open.js'
import { allRows } from './store/seal-keeping.js'

/** The logs beside the events, as they were read. */
export interface LogsSeen {
  readonly acts: LogSeen
  readonly accesses: LogSeen
}

export interface OpenForChecking {
  /** One moment of the trail: what a server writes meanwhile is not seen. */
  readonly trail: TrailReading
  /** Reads the logs beside the events. */
  readonly logs: (noted?: Pick<Checkpoint, 'acts' | 'accesses'>) => Promise<LogsSeen>
  /** How many transactions have changed what is sealed; 0 where the seals do not say. */
  readonly changes: number
  /** Compares every table beside the chain with what the events and the seals say. Only for a trail whose chain is whole. */
  readonly checkTables: (events: ChainEnd, logs: LogsSeen) => Promise<readonly TableCheck[]>
  readonly close: () => Promise<void>
}

/**
 * Opens a trail to examine it, in either database; nothing in it is changed.
 * @param secret that the seals were made with
 */
export async function openForChecking(url: string, secret?: string): Promise<OpenForChecking> {
  const examining = await openExamining(url)
  return { ...(await checkingOf(examining, secret)), close: examining.close }
}

/** The checks over a trail that is open to be examined. */
export async function checkingOf(
  examining: Omit<Examining, 'close'>,
  secret: string | undefined,
): Promise<Omit<OpenForChecking, 'close'>> {
  const { reader, run, trail } = examining
  const seals = sealCheck(
    (await run('select kind, salt, key_check, state, sum, seal from seals')) as unknown as SealsRow[],
    secret,
  )
  return {
    trail,
    changes: seals.changes ?? 0,
    logs: async (noted) => ({
      acts: await examineLog(trail.recordActs(), noted?.acts.rows),
      accesses: await examineLog(accessRows(reader), noted?.accesses.rows),
    }),
    checkTables: async (events, { acts, accesses }) => [
      ...(await examining.itself()),
      ...(await unnamedChecks(examining)),
      check('erasures', await erasureFaults(reader)),
      check('acts on the records', acts.faults.slice(0, NAMED)),
      check('accesses', accesses.faults.slice(0, NAMED)),
      ...(await derivedChecks(examining)),
      ...(await queueChecks(examining, seals)),
      check('seals', seals.whole({ events, record_acts: acts, accesses })),
    ],
  }
}

async function queueChecks({ reader, run, how }: Omit<Examining, 'close'>, seals: SealCheck): Promise<readonly TableCheck[]> {
  const checks: TableCheck[] = []
  for (const table of SEALED_TABLES) {
    const { name, judge } = QUEUES[table]
    const faults: string[] = []
    for await (const row of allRows(run, how, table, SEALED[table])) {
      const sealed = seals.row(table, row)
      const key = SEALED[table].map((column) => String(row[column])).join(' ')
      if (faults.length >= NAMED) continue
      faults.push(...(await judge(row, reader)).map((words) => `${key}: ${words}`), ...(sealed === undefined ? [] : [sealed]))
    }
    checks.push(check(name, faults))
  }
  for (const table of SUMMED_TABLES) for await (const row of allRows(run, how, table, SUMMED[table])) seals.sum(table, row)
  return checks
}

/** The checkpoint of a trail, for whoever has examined its events already. */
export async function checkpointOf(examined: Pick<OpenForChecking, 'logs' | 'changes'>, events: ChainEnd): Promise<string> {
  const { acts, accesses } = await examined.logs()
  return checkpointText({ events, acts, accesses, changes: examined.changes })
}
