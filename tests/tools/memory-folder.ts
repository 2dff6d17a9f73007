import { chmodSync, existsSync, mkdtempSync, rmSync, statfsSync } from 'node:fs'
import { join } from 'node:path'

/** Where Linux keeps files in memory. */
const MEMORY = '/dev/shm'
const ENOUGH_BYTES = 2 ** 31

let made: string | undefined

/**
 * Temporary files of a run of tests stand in memory where there is room: hundreds of databases are made, and each of their
 * commits would wait for the disk. What a killed process wrote survives it there as on a disk; only a power cut would not be
 * survived, and no test makes one.
 */
export function setup(): void {
  if (process.env['TMPDIR'] !== undefined || !existsSync(MEMORY)) return
  const { bavail, bsize } = statfsSync(MEMORY)
  if (bavail * bsize < ENOUGH_BYTES) return
  try {
    made = mkdtempSync(join(MEMORY, 'soundings-tests-'))
  } catch {
    // where nobody but root may write there, the disk serves
    return
  }
  // The user that PostgreSQL runs as goes through it.
  chmodSync(made, 0o711)
  process.env['TMPDIR'] = made
}

export function teardown(): void {
  if (made === undefined) return
  delete process.env['TMPDIR']
  rmSync(made, { recursive: true, force: true })
}
