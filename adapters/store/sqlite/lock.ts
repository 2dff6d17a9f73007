import { chmodSync, closeSync, openSync } from 'node:fs'
import Sqlite from 'better-sqlite3'
import { fault } from '../database.js'

/**
 * Holds the trail for this process. An exclusive transaction on a side file is a lock that the operating system
 * releases however the process ends, so a crash leaves nothing to clear away.
 * @returns lets go of it
 */
export function holdLock(lockPath: string, path: string): () => void {
  closeSync(openSync(lockPath, 'a', 0o600))
  chmodSync(lockPath, 0o600)
  const lock = new Sqlite(lockPath, { timeout: 0 })
  try {
    lock.exec('begin exclusive')
  } catch (error) {
    lock.close()
    throw fault(
      'STORE.LOCKED',
      `Another process is writing the trail at ${path}. Stop it first, or set DATABASE_URL to another file`,
      error,
    )
  }
  return () => lock.close()
}
