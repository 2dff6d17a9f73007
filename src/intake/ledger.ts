import type { Fault, Problem } from './reading.js'
import type { Token } from './tokens.js'

/** The problems of one message, and the words that no fact holds: so that nothing the asker wrote is dropped. */
export interface Ledger {
  readonly problems: Problem[]
  readonly kept: { readonly text: string; readonly line: number }[]
  /** The words of these tokens as typed; parts that do not touch are parted by an ellipsis. */
  readonly typed: (tokens: readonly Token[]) => string
}

/** Notes a problem with what it is about. */
export function fail({ problems }: Ledger, { field, ...fault }: Fault, item: string, line: number): void {
  problems.push({ line, item, ...(field === undefined ? {} : { field }), ...fault })
}

/** Keeps words as written, once. */
export function keep({ kept }: Ledger, text: string, line: number): void {
  if (!kept.some((one) => one.text === text && one.line === line)) kept.push({ text, line })
}

interface Source {
  readonly source: string
  readonly line: number
}

/** Notes a problem with statements that are not used for it, and keeps their words. */
export function withhold(ledger: Ledger, fault: Fault, facts: readonly Source[]): void {
  fail(ledger, fault, facts.map(({ source }) => source).join('; '), facts[0]?.line ?? 1)
  for (const { source, line } of facts) keep(ledger, source, line)
}
