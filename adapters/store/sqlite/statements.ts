import type Sqlite from 'better-sqlite3'
import type { SqliteDatabase } from 'kysely'

/** More than the program has; a search makes statements of as many forms as people think of. */
const KEPT = 400

/**
 * The database with each statement prepared once, by its text: the same few dozen are run for every delivery, and preparing
 * one takes longer than running it. One that is being read from is never given to a second reader.
 */
export function preparingOnce(file: Sqlite.Database): SqliteDatabase {
  const kept = new Map<string, Sqlite.Statement<unknown[]>>()
  return {
    close: () => void file.close(),
    prepare(sql) {
      const known = kept.get(sql)
      if (known !== undefined && !known.busy) {
        // Used last, gone last.
        kept.delete(sql)
        kept.set(sql, known)
        return known
      }
      const fresh = file.prepare<unknown[]>(sql)
      if (known === undefined) {
        kept.set(sql, fresh)
        const [oldest] = kept.keys()
        if (kept.size > KEPT && oldest !== undefined) kept.delete(oldest)
      }
      return fresh
    },
  }
}
