import type { TrailReading } from '../src/trail/trail-store.js'
import { openSqliteReading } from './store/sqlite/open.js'

/** The file behind `sqlite:PATH`, or undefined for another kind of database. */
export const sqlitePath = (databaseUrl: string): string | undefined =>
  databaseUrl.startsWith('sqlite:') ? databaseUrl.slice('sqlite:'.length).replace(/^\/\/(?=\/)/, '') : undefined

/** Opens the trail to read it, beside a server that may be writing to it. */
export function openTrail(
  databaseUrl: string,
): { readonly trail: TrailReading; readonly close: () => Promise<void> } | { readonly fault: string } {
  const path = sqlitePath(databaseUrl)
  if (path === undefined) return { fault: 'DATABASE_URL: only sqlite:PATH can be read here; write sqlite:data/soundings.db' }
  try {
    return openSqliteReading(path)
  } catch (fault) {
    return { fault: fault instanceof Error ? fault.message : `${path} cannot be read` }
  }
}
