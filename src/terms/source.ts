/**
 * How sure we are of a statement or a coefficient.
 * - `read`: the text was read in the source named.
 * - `secondary`: read in a summary of the source.
 * - `memory`: recalled from the published text and not re-read; shown as awaiting a check in print.
 * - `derived`: algebra or arithmetic on cited numbers.
 * - `convention`: a convention of this project, or common practice, with no source.
 */
export const SURENESS = ['read', 'secondary', 'memory', 'derived', 'convention'] as const
export type Sureness = (typeof SURENESS)[number]

export const SURENESS_WORDS: Readonly<Record<Sureness, string>> = {
  read: 'read in the source',
  secondary: 'read in a summary of the source',
  memory: 'from memory of the source, awaiting a check in print',
  derived: 'derived from cited numbers',
  convention: 'common practice, no source',
}

/** A published source and how sure we are of what is taken from it. */
export interface Source {
  readonly cite: string
  readonly year?: number
  readonly sureness: Sureness
}
