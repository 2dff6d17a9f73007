import { mkdir, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import type { Learning } from '../src/learning/learning.js'
import { learnFrom } from '../src/learning/learning.js'
import { learningTables } from '../src/learning/learning-tables.js'
import type { ImportedOperation } from '../src/learning/operations-file.js'
import { BASE_RATES, type BaseRate, ORDINARY_BASE_RATE } from '../src/learning/rupture-chart.js'
import { csvRecord } from '../src/trail/csv.js'
import { daysFaults } from '../src/trail/query-days.js'
import type { TrailReading } from '../src/trail/trail-store.js'
import { learningCard, learningPage } from '../src/views/learning-page.js'
import { plainText } from '../src/views/plain.js'
import { readLessons } from './learning-lessons.js'
import { readOperationsFile } from './operations.js'
import type { ExitCode, Terminal } from './plan-command.js'

export interface LearningCommandOptions {
  /** HTML file to write. */
  readonly out?: string
  /** Folder for one CSV file a table. */
  readonly csv?: string
  /** CSV file with all operations of the unit. */
  readonly operations?: string
  readonly baseRate?: string
  readonly from?: string
  readonly to?: string
}

/**
 * `soundings learning`: what the consults taught, printed, or as a page and tables. Reads only; the operations file is
 * read and not kept.
 */
export async function learningCommand(
  options: LearningCommandOptions,
  trail: Pick<TrailReading, 'links' | 'events' | 'plan' | 'planErased'>,
  terminal: Terminal,
): Promise<ExitCode> {
  const read = await readOptions(options)
  if ('faults' in read) {
    for (const fault of read.faults) terminal.err(`${fault}\n`)
    return 2
  }
  const { from, to } = options
  const chosen = { ...(from === undefined ? {} : { from }), ...(to === undefined ? {} : { to }) }
  const { consults, lessons, unread, erased } = await readLessons(trail, chosen)
  for (const { ref, because } of unread) terminal.err(`${ref}: ${because}\n`)
  const learning = learnFrom(lessons, { made: terminal.today, consults, unread: unread.length, erased, ...read })
  if (options.csv !== undefined) await writeTables(learning, options.csv, terminal)
  if (options.out !== undefined) {
    await writeFile(options.out, learningPage(learning), { mode: 0o600 })
    terminal.err(`${options.out}\n`)
  }
  if (options.csv === undefined && options.out === undefined) {
    terminal.out(`${plainText(learningCard(learning), { width: terminal.width })}\n`)
  }
  return 0
}

interface Read {
  readonly baseRate: BaseRate
  readonly operations?: readonly ImportedOperation[]
}

async function readOptions(options: LearningCommandOptions): Promise<Read | { readonly faults: readonly string[] }> {
  const faults: string[] = []
  const wanted = options.baseRate ?? ORDINARY_BASE_RATE.id
  const baseRate = BASE_RATES.find(({ id }) => id === wanted)
  if (!baseRate)
    faults.push(`--base-rate ${wanted}: write one of ${BASE_RATES.map(({ id, words }) => `${id} (${words})`).join(', ')}`)
  const { from, to } = options
  faults.push(...daysFaults({ ...(from === undefined ? {} : { from }), ...(to === undefined ? {} : { to }) }))
  const operations = options.operations === undefined ? undefined : await operationsNamed(options.operations)
  if (operations && 'faults' in operations) faults.push(...operations.faults)
  if (faults.length > 0 || !baseRate) return { faults }
  return { baseRate, ...(operations && 'operations' in operations ? { operations: operations.operations } : {}) }
}

async function operationsNamed(file: string): ReturnType<typeof readOperationsFile> {
  const read = await readOperationsFile(file)
  return 'faults' in read
    ? { faults: read.faults.map((fault) => `--operations ${file}${fault.startsWith('line') ? ', ' : ': '}${fault}`) }
    : read
}

async function writeTables(learning: Learning, folder: string, terminal: Terminal): Promise<void> {
  await mkdir(folder, { recursive: true })
  for (const { name, columns, rows } of learningTables(learning)) {
    const file = join(folder, `${name}.csv`)
    await writeFile(file, [columns, ...rows].map(csvRecord).join(''), { mode: 0o600 })
    terminal.err(`${file}\n`)
  }
}
