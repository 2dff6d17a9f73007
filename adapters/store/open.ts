import { type Database, fault } from './database.js'
import type { Reading } from './facts.js'
import { openPostgresDatabase, openPostgresReading, openPostgresStore } from './postgres/open.js'
import { openSqliteBeside, openSqliteReading, openSqliteStore } from './sqlite/open.js'
import type { KeptStore } from './store.js'

type Kind = { readonly kind: 'sqlite'; readonly path: string } | { readonly kind: 'postgres'; readonly url: string }

/** What a `DATABASE_URL` names. */
export function databaseKind(url: string): Kind {
  if (/^postgres(ql)?:\/\//.test(url)) return { kind: 'postgres', url }
  if (url.startsWith('sqlite:')) return { kind: 'sqlite', path: url.slice('sqlite:'.length).replace(/^\/\/(?=\/)/, '') }
  throw fault('STORE.URL', 'DATABASE_URL: write sqlite:PATH or postgres://…')
}

/** Opens the trail for the server: an SQLite file for one process alone, PostgreSQL for any number. */
export function openStore(url: string, now: string): Promise<KeptStore> {
  const named = databaseKind(url)
  return named.kind === 'sqlite' ? openSqliteStore(named.path, now) : openPostgresStore(named.url, now)
}

/** Opens an existing trail to read it, beside whoever writes it. */
export async function openReading(url: string): Promise<Reading> {
  const named = databaseKind(url)
  return named.kind === 'sqlite' ? openSqliteReading(named.path) : openPostgresReading(named.url)
}

/** Opens an existing trail to keep its records in order (holds, erasure) while a server may be running. */
export async function openKeeping(url: string): Promise<Database> {
  const named = databaseKind(url)
  return named.kind === 'sqlite' ? openSqliteBeside(named.path) : openPostgresDatabase(named.url)
}
