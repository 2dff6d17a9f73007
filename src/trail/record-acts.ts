import { canonicalJson, GENESIS, sha256 } from './chain.js'

export const ACTS = ['text-erased', 'plan-erased', 'queue-cleared', 'hold-set', 'hold-lifted', 'seals-renewed'] as const

/**
 * Something done to the records themselves, not to a case: who took what out, or kept it from being taken out, and why.
 * Acts form a hash chain of their own beside the events, since what they speak of may concern texts of any age.
 */
export interface RecordAct {
  /** From 1, without holes. */
  readonly number: number
  /** ISO time, UTC. */
  readonly at: string
  readonly by: string
  readonly act: (typeof ACTS)[number]
  /** The consult; empty for what belongs to none. */
  readonly ref: string
  /** The commitment of the text or the hash of the plan that was erased; empty for a hold. */
  readonly subject: string
  readonly because: string
  readonly previous: string
  readonly hash: string
}

/** A row of a log whose rows follow each other by their hashes. */
interface LogRow {
  readonly number: number
  readonly previous: string
  readonly hash: string
}

const rowHash = (row: Omit<LogRow, 'hash'>): string => {
  const { hash: _none, ...content } = row as LogRow
  return sha256(canonicalJson(content))
}

/** Seals a row behind the last one of its log, if there is one. */
export function sealRow<Content extends object>(
  content: Content,
  last: Pick<LogRow, 'number' | 'hash'> | undefined,
): Content & LogRow {
  const placed = { ...content, number: (last?.number ?? 0) + 1, previous: last?.hash ?? GENESIS }
  return { ...placed, hash: rowHash(placed) }
}

/** What is to be seen of a log, read from its first row. */
export interface LogSeen {
  /** First fault first; empty when every row is as it was written. Rows cut off at the end are not seen here. */
  readonly faults: readonly string[]
  readonly rows: number
  readonly head: string
  /** Hash of the row whose number was asked for; absent where the log does not reach it. */
  readonly noted?: string
}

/** @param noted number of a row whose hash is wanted, such as that of a checkpoint */
export async function examineLog(rows: Iterable<LogRow> | AsyncIterable<LogRow>, noted?: number): Promise<LogSeen> {
  const faults: string[] = []
  let number = 0
  let head = GENESIS
  let notedHash = noted === 0 ? GENESIS : undefined
  for await (const row of rows) {
    if (row.number !== number + 1) faults.push(`row ${number + 1} is missing`)
    else if (row.previous !== head) faults.push(`row ${row.number} does not follow from the one before it`)
    if (rowHash(row) !== row.hash) faults.push(`row ${row.number} is not as it was written`)
    number = row.number
    head = row.hash
    if (number === noted) notedHash = head
  }
  return { faults, rows: number, head, ...(notedHash === undefined ? {} : { noted: notedHash }) }
}
