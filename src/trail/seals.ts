import { createHash, createHmac, timingSafeEqual } from 'node:crypto'
import { canonicalJson, GENESIS } from './chain.js'

/**
 * Seals over what no hash chain covers: rows that change while the program works. Each row carries a keyed hash of its
 * content; a running sum over all of them, with the number of rows of each table and the end of each chain, is sealed as a whole.
 * So an altered row no longer fits its seal, a row put in has none, a row taken out is missing in the sum, and an earlier
 * state of a row that is put back is not the one that was summed.
 */

/** Tables whose rows carry a seal, with the columns that name a row. */
export const SEALED = {
  drafts: ['number'],
  people: ['id'],
  inbox: ['seq'],
  outbox: ['seq'],
  waking: ['ref'],
  person_settings: ['id'],
  conversations: ['tenant', 'id'],
  audiences: ['platform', 'workspace', 'channel'],
} as const
export type SealedTable = keyof typeof SEALED
export const SEALED_TABLES = Object.keys(SEALED) as readonly SealedTable[]

/** Tables whose rows never change: they are in the sum, and carry no seal of their own. */
export const SUMMED = { plan_pieces: ['number'], plan_orders: ['number'] } as const
export type SummedTable = keyof typeof SUMMED
export const SUMMED_TABLES = Object.keys(SUMMED) as readonly SummedTable[]

/** Tables that are hash chains in themselves, with the column that counts them: their last row is sealed, so that none is cut off unseen. */
export const CHAINED = { events: 'position', record_acts: 'number', accesses: 'number' } as const
export type ChainedTable = keyof typeof CHAINED
export const CHAINED_TABLES = Object.keys(CHAINED) as readonly ChainedTable[]

/** The last row of a chain. */
export interface ChainEnd {
  readonly rows: number
  readonly head: string
}

/** What is sealed as a whole. */
export interface Sums {
  /** How many transactions have changed what is sealed. */
  readonly changes: number
  readonly rows: Readonly<Record<SealedTable | SummedTable, number>>
  readonly chains: Readonly<Record<ChainedTable, ChainEnd>>
  readonly sum: bigint
}

export const NO_SUMS: Sums = {
  changes: 0,
  rows: {
    drafts: 0,
    people: 0,
    inbox: 0,
    outbox: 0,
    waking: 0,
    person_settings: 0,
    conversations: 0,
    audiences: 0,
    plan_pieces: 0,
    plan_orders: 0,
  },
  chains: {
    events: { rows: 0, head: GENESIS },
    record_acts: { rows: 0, head: GENESIS },
    accesses: { rows: 0, head: GENESIS },
  },
  sum: 0n,
}

/** With `none` nothing is sealed yet; with `salt` the seals need no secret; with `key` they need one that is not in the database. */
export const SEAL_KINDS = ['none', 'salt', 'key'] as const
export type SealKind = (typeof SEAL_KINDS)[number]

/** The key that the seals of one trail are made with. Without a secret the salt alone makes it, and whoever reads the database has it too. */
export const sealKey = (secret: string | undefined, salt: string): Buffer =>
  createHmac('sha256', secret ?? '')
    .update(`soundings seals ${salt}`, 'utf8')
    .digest()

/** Tells one key from another without telling anything of the key. */
export const keyCheck = (key: Buffer): string => mac(key, 'which key').subarray(0, 8).toString('hex')

export type SealableRow = Readonly<Record<string, unknown>>

const mac = (key: Buffer, text: string): Buffer => createHmac('sha256', key).update(text, 'utf8').digest()

/** 128 bits of HMAC-SHA-256 (RFC 2104, section 5, on truncating). */
const SEAL_BYTES = 16

/**
 * The seal of one row. Empty columns are left out, so that a column which a later version adds leaves the seals of
 * earlier rows as they are.
 */
export function rowSeal(key: Buffer, table: SealedTable | SummedTable, row: SealableRow): Buffer {
  const content: Record<string, unknown> = {}
  for (const [column, value] of Object.entries(row)) {
    if (column === 'seal' || value === null || value === undefined) continue
    content[column] = value instanceof Uint8Array ? createHash('sha256').update(value).digest('hex') : value
  }
  return mac(key, canonicalJson([table, content])).subarray(0, SEAL_BYTES)
}

/**
 * A seal as a summand. Sums of short hashes can be forged by whoever knows many of them (Wagner, A generalized birthday problem,
 * CRYPTO 2002), so each is stretched to 2048 bits first (Bellare and Micciancio, EUROCRYPT 1997, AdHash).
 */
const SUM_BYTES = 256
const MODULUS = 1n << BigInt(SUM_BYTES * 8)

export const summand = (seal: Uint8Array): bigint =>
  BigInt(`0x${createHash('shake256', { outputLength: SUM_BYTES }).update(seal).digest('hex')}`)

export const added = (sum: bigint, more: bigint): bigint => (sum + more) % MODULUS
export const taken = (sum: bigint, less: bigint): bigint => (sum - less + MODULUS) % MODULUS

/** The row in which the sums are kept. */
export interface SealsRow {
  readonly kind: SealKind
  readonly salt: string
  readonly key_check: string
  /** Canonical JSON of the counts and chains. */
  readonly state: string
  /** Hexadecimal. */
  readonly sum: string
  readonly seal: string
}

export function sealedSums(key: Buffer, kind: SealKind, salt: string, sums: Sums): SealsRow {
  const { sum: total, ...counts } = sums
  const state = canonicalJson(counts)
  const sum = total.toString(16)
  const check = keyCheck(key)
  const seal = mac(key, canonicalJson([kind, salt, check, state, sum])).toString('hex')
  return { kind, salt, key_check: check, state, sum, seal }
}

/** @returns nothing where the row is not as this key sealed it */
export function readSums(key: Buffer, row: SealsRow): Sums | undefined {
  const wanted = mac(key, canonicalJson([row.kind, row.salt, row.key_check, row.state, row.sum]))
  const given = Buffer.from(row.seal, 'hex')
  if (given.length !== wanted.length || !timingSafeEqual(given, wanted)) return undefined
  return { ...(JSON.parse(row.state) as Omit<Sums, 'sum'>), sum: BigInt(`0x${row.sum}`) }
}

/** Names a row for people: its key, or as much of it as tells it from others. */
export const rowName = (table: SealedTable | SummedTable, row: SealableRow): string =>
  keyColumns(table)
    .map((column) => String(row[column]))
    .join(' ')

const keyColumns = (table: SealedTable | SummedTable): readonly string[] => ({ ...SEALED, ...SUMMED })[table]
