import { type Token, tokenise } from './tokens.js'

interface Entry<Value> {
  readonly parts: readonly Token[]
  readonly value: Value
}

export interface Match<Value> {
  readonly value: Value
  /** How many tokens it took. */
  readonly used: number
}

export type Phrases<Value> = ReadonlyMap<string, readonly Entry<Value>[]>

const isHyphen = (token: Token | undefined): boolean => token?.text === '-' && token.gap === 0

/** A table of written forms, longest first. A hyphen in a form may be typed or left out. */
export function phrases<Value>(forms: Iterable<readonly [form: string, value: Value]>): Phrases<Value> {
  const table = new Map<string, Entry<Value>[]>()
  for (const [form, value] of forms) {
    const parts = tokenise(form.toLowerCase()).filter((part, index) => index === 0 || !isHyphen(part))
    const first = parts[0]
    if (first === undefined) continue
    const entries = table.get(first.lower) ?? []
    entries.push({ parts, value })
    table.set(first.lower, entries)
  }
  for (const entries of table.values()) entries.sort((one, other) => other.parts.length - one.parts.length)
  return table
}

function lengthOfMatch(parts: readonly Token[], tokens: readonly Token[], from: number): number {
  let at = from
  for (const [index, part] of parts.entries()) {
    if (index > 0 && isHyphen(tokens[at]) && tokens[at + 1]?.gap === 0) at += 1
    const token = tokens[at]
    if (token === undefined || token.lower !== part.lower) return 0
    // "K1" is one name, "K 1" is a name and a number.
    if (index > 0 && part.kind === 'number' && part.gap === 0 && token.gap > 0) return 0
    at += 1
  }
  return at - from
}

/** The longest form that starts at this token. */
export function matchAt<Value>(table: Phrases<Value>, tokens: readonly Token[], at: number): Match<Value> | undefined {
  const first = tokens[at]
  if (first === undefined) return undefined
  for (const { parts, value } of table.get(first.lower) ?? []) {
    const used = lengthOfMatch(parts, tokens, at)
    if (used > 0) return { value, used }
  }
  return undefined
}

/** Every word that occurs in a form: trade vocabulary, which is never taken for a name. */
export function wordsOf(table: Phrases<unknown>): readonly string[] {
  const words: string[] = []
  for (const entries of table.values()) for (const { parts } of entries) for (const part of parts) words.push(part.lower)
  return words
}
