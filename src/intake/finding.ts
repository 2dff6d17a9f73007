import type { Field } from './reading.js'

/** A finding that is present or absent, or one of several answers, with every way a message may say so. */
export interface Finding {
  readonly field: Field
  readonly label: string
  /** The names it goes by; lower case. */
  readonly names: readonly string[]
  /** What the bare name, or the name with "yes", says. */
  readonly present?: string | boolean
  /** What the name with "no" says. */
  readonly absent?: string | boolean
  /** Words that may stand beside the name, before or after it, by the answer they give. */
  readonly answers?: Readonly<Record<string, readonly string[]>>
  /** Phrases that are an answer in themselves. */
  readonly phrases?: Readonly<Record<string, readonly string[]>>
}

/** Written forms parted by bars, as they are easiest to read and to add to. */
export const forms = (written: string): readonly string[] => written.split(' | ')

/** A finding that is there or not. */
export const yesNo = (field: Field, label: string, names: readonly string[], phrases?: Finding['phrases']): Finding => ({
  field,
  label,
  names,
  present: true,
  absent: false,
  ...(phrases ? { phrases } : {}),
})
