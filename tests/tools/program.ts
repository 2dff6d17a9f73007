import { mkdirSync, mkdtempSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build } from 'rolldown'

/** Beneath the packages, so that a program finds those that it does not take in. */
const KEPT = fileURLToPath(new URL('../../node_modules/.cache/soundings-tests/', import.meta.url))
/** Packages with code of their own machine, and what they bring. */
const STAY = ['better-sqlite3', 'pg']

/** A program that plain Node starts. */
export interface Program {
  readonly file: string
  remove(): void
}

/** A folder for programs that is gone after the tests of a file. */
export function programFolder(): { readonly path: string; remove(): void } {
  mkdirSync(KEPT, { recursive: true })
  const path = mkdtempSync(KEPT)
  return { path, remove: () => rmSync(path, { recursive: true }) }
}

/**
 * Puts a program of the tests together in one file, for tests that need a process to kill: started from its sources it
 * would load some hundred files each time.
 * @param source its path from the root of the project
 */
export async function putTogether(source: string): Promise<Program> {
  const { path, remove } = programFolder()
  await build({
    cwd: fileURLToPath(new URL('../..', import.meta.url)),
    input: { program: source },
    platform: 'node',
    external: STAY,
    output: { dir: path, format: 'esm', codeSplitting: false },
    logLevel: 'warn',
  })
  return { file: join(path, 'program.js'), remove }
}
