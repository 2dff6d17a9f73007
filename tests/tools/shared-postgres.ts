import { mkdtempSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { SHARED_FOLDER, stopShared } from './postgres.js'

/** One PostgreSQL for all files of a run, told of in this folder: the first that asks for one starts it. */
export function setup(): void {
  process.env[SHARED_FOLDER] = mkdtempSync(join(tmpdir(), 'soundings-tests-'))
}

export async function teardown(): Promise<void> {
  const folder = process.env[SHARED_FOLDER]
  if (folder !== undefined) await stopShared(folder)
}
