import { type Database, fault } from './database.js'
import type { Examining } from './examining.js'
import type { Reading } from './facts.js'
import { openSqliteExamining } from './sqlite/examining.js'
import { openSqliteBeside, openSqliteDatabase, openSqliteReading, openSqliteStore } from './sqlite/open.js'
import type { KeptStore } from './store.js'

type Kind = { readonly kind: 'sqlite'; readonly path: string } | { readonly kind: 'postgres'; readonly url: string }

/** What a `DATABASE_URL` names. */
export function databaseKind(url: string): Kind {
  if (/^postgres(ql)?:\/\//.test(url)) return { kind: 'postgres', url }
  if (url.startsWith('sqlite:')) return { kind: 'sqlite', path: url.slice('sqlite:'.length).replace(/^\/\/(?=\/)/, '') }
  throw fault('STORE.URL', 'DATABASE_URL: write sqlite:PATH or postgres://…')
}

/** Loaded only where a trail is kept in it: a start without need not wait for its driver. */
const postgres = () => import('./postgres/open.js')

/** Opens the trail for the server: an SQLite file for one process alone, PostgreSQL for any number. */
export async function openStore(url: string, now: string, secret?: string): Promise<KeptStore> {
  const named = databaseKind(url)
  return named.kind === 'sqlite'
    ? openSqliteStore(named.path, now, secret)
    : (await postgres()).openPostgresStore(named.url, now, secret)
}

/** Opens an existing trail to read it, beside whoever writes it. */
export async function openReading(url: string): Promise<Reading> {
  const named = databaseKind(url)
  return named.kind === 'sqlite' ? openSqliteReading(named.path) : (await postgres()).openPostgresReading(named.url)
}

/** Opens an existing trail to examine all of it, as it stands at one moment. */
export async function openExamining(url: string): Promise<Examining> {
  const named = databaseKind(url)
  if (named.kind === 'sqlite') return openSqliteExamining(named.path)
  const { openPostgresExamining } = await import('./postgres/examining.js')
  return openPostgresExamining(named.url)
}

/** Opens a trail that no server has open, to seal every row of it anew with its first transaction. */
export async function openToSealAnew(url: string, secret: string | undefined): Promise<Database> {
  const named = databaseKind(url)
  return named.kind === 'sqlite'
    ? openSqliteDatabase(named.path, secret, true)
    : (await postgres()).openPostgresDatabase(named.url, secret, true)
}

/** Opens an existing trail to keep its records in order (holds, erasure) while a server may be running. */
export async function openKeeping(url: string, secret?: string): Promise<Database> {
  const named = databaseKind(url)
  return named.kind === 'sqlite'
    ? openSqliteBeside(named.path, secret)
    : (await postgres()).openPostgresDatabase(named.url, secret)
}
