import { randomUUID } from 'node:crypto'
import { createWriteStream, existsSync, renameSync, rmSync } from 'node:fs'
import { dirname } from 'node:path'
import { Readable, type Writable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import type { Chosen } from '../src/trail/chosen-consults.js'
import { exportCsv } from '../src/trail/export-csv.js'
import { exportLines } from '../src/trail/export-lines.js'
import { exportFhir } from '../src/trail/fhir-bundle.js'
import { daysFaults } from '../src/trail/query-days.js'
import type { TrailReading } from '../src/trail/trail-store.js'
import type { ExitCode, Terminal } from './plan-command.js'

export const EXPORT_FORMS = ['lines', 'csv', 'fhir'] as const
export type ExportForm = (typeof EXPORT_FORMS)[number]

export interface ExportOptions {
  readonly form: ExportForm
  readonly from?: string
  readonly to?: string
  readonly ref?: string
  /** Colleagues by name in CSV and FHIR. */
  readonly names?: boolean
  readonly out?: string
}

/**
 * `soundings export`: writes as fast as the reader takes it, one consult in memory at a time.
 * @param stdout where it goes without `--out`
 * @param version of the program
 */
export async function exportCommand(
  trail: TrailReading,
  options: ExportOptions,
  { err }: Pick<Terminal, 'err'>,
  stdout: Writable,
  version: string,
): Promise<ExitCode> {
  const chosen = chosenBy(options)
  if ('faults' in chosen) {
    for (const fault of chosen.faults) err(`${fault}\n`)
    return 2
  }
  if (options.ref !== undefined && (await trail.events(chosen.ref ?? '')).length === 0) {
    err(`--ref: there is no consult ${options.ref}. Search with: soundings find WORDS\n`)
    return 2
  }
  const text = Readable.from(pieces(trail, options, chosen, version))
  if (options.out === undefined) {
    await pipeline(text, stdout, { end: false })
    return 0
  }
  if (existsSync(options.out)) {
    err(`--out: ${options.out} exists already; name a new file\n`)
    return 2
  }
  const folder = dirname(options.out)
  if (!existsSync(folder)) {
    err(`--out ${options.out}: there is no folder ${folder}; make it first, or name another file\n`)
    return 2
  }
  const unfinished = unfinishedOf(options.out)
  if (existsSync(unfinished)) {
    err(`--out: ${unfinished} is there: another export writes it, or one was cut short. If none runs, remove it\n`)
    return 2
  }
  await writeWhole(text, options.out)
  return 0
}

function pieces(trail: TrailReading, options: ExportOptions, chosen: Chosen, soundings: string): AsyncGenerator<string> {
  const names = options.names === true
  switch (options.form) {
    case 'lines':
      return exportLines(trail, chosen, soundings)
    case 'csv':
      return exportCsv(trail, { ...chosen, names })
    case 'fhir':
      return exportFhir(trail, { ...chosen, names, soundings, now: new Date().toISOString(), uuid: randomUUID })
    default:
      return unreachable(options.form)
  }
}

const unfinishedOf = (path: string): string => `${path}.unfinished`

// The file takes its name when it is whole, so that half an export is never taken for one. Only its owner may read it.
async function writeWhole(text: Readable, path: string): Promise<void> {
  const unfinished = unfinishedOf(path)
  try {
    await pipeline(text, createWriteStream(unfinished, { mode: 0o600, flags: 'wx' }))
    renameSync(unfinished, path)
  } catch (fault) {
    rmSync(unfinished, { force: true })
    throw fault
  }
}

function chosenBy({ from, to, ref }: ExportOptions): Chosen | { readonly faults: readonly string[] } {
  const faults = daysFaults({ ...(from === undefined ? {} : { from }), ...(to === undefined ? {} : { to }) })
  if (faults.length > 0) return { faults }
  return {
    ...(from === undefined ? {} : { from }),
    ...(to === undefined ? {} : { to }),
    ...(ref === undefined ? {} : { ref: ref.trim().toUpperCase() }),
  }
}

function unreachable(value: never): never {
  throw new Error(`Unknown form ${String(value)}`)
}
