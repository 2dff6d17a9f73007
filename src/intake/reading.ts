import type { Case } from '../case/case.js'
import type { NuclearScale } from '../case/nuclear-density.js'
import type { Eye } from '../terms/eye.js'
import type { QuantityName } from '../terms/quantities.js'
import type { Token } from './tokens.js'

export type ProblemKind = 'not-understood' | 'out-of-range' | 'ambiguous' | 'contradiction' | 'unit' | 'sign' | 'too-long'

export interface Problem {
  /** Line of the message, from 1. */
  readonly line: number
  /** The words it is about, as typed. */
  readonly item: string
  readonly field?: string
  readonly kind: ProblemKind
  /** Whether it must be settled before the case can be put to the team. */
  readonly blocks: boolean
  readonly message: string
  /** What to write instead. */
  readonly instead: string
}

export interface ReadItem {
  readonly field: string
  readonly label: string
  readonly shown: string
  /** The words it was read from, as typed. */
  readonly source: string
  readonly line: number
  readonly assumed?: string
}

/** Which eye a statement is about, as far as the message said: undefined is the eye to be operated. */
export type Side = Eye | 'fellow' | undefined

export type CornealPart = 'first' | 'second' | 'flat' | 'steep' | 'mean'

export interface CornealReading {
  readonly part: CornealPart
  readonly given: number
  readonly unit: 'D' | 'mm'
  readonly axisDeg?: number
}

export interface RefractionReading {
  readonly sphereD: number
  readonly cylinderD?: number
  readonly axisDeg?: number
  readonly sphericalEquivalentD: number
}

export interface NucleusGrade {
  readonly scale: NuclearScale
  readonly grade: number | string
}

type PlainField = Exclude<keyof Case, 'fellow' | 'lensConstants' | 'keratometry' | 'nucleus' | 'notUnderstood'>
type FellowField = keyof NonNullable<Case['fellow']>
type ConstantField = keyof NonNullable<Case['lensConstants']>

/** What a statement is about; some are put together into one fact of the case afterwards. */
export type Field =
  | PlainField
  | QuantityName
  | `fellow.${FellowField}`
  | `lensConstants.${ConstantField}`
  | 'keratometry'
  | 'keratometricIndex'
  | 'nucleus'
  | 'lensStatus'
  | 'note'

export type FactValue = number | string | boolean | readonly CornealReading[] | RefractionReading | NucleusGrade

/** One statement as read, before it is known which eye it belongs to. */
export interface Fact {
  readonly field: Field
  readonly label: string
  /** Undefined says that the message itself calls it unknown. */
  readonly value: FactValue | undefined
  readonly shown: string
  readonly assumed?: string | undefined
}

/** A problem as a reader finds it; line and words are added from where it was found. */
export type Fault = Omit<Problem, 'line' | 'item' | 'field'> & { readonly field?: Field }

export interface EyeMention {
  readonly side: Eye | 'fellow'
  /** The words themselves say that this is the eye to be operated. */
  readonly operated: boolean
  /** A colon or a line of its own: what follows belongs to it as far as the line goes. */
  readonly heading: boolean
}

/** What a reader made of the tokens from where it stood. */
export interface Reading {
  readonly used: number
  readonly facts?: readonly Fact[]
  readonly faults?: readonly Fault[]
  readonly eye?: EyeMention
}

/** Where a reader stands. `end` is the token after the last one it may look at. */
export interface Place {
  readonly tokens: readonly Token[]
  readonly at: number
  readonly start: number
  readonly end: number
  readonly side: Side
  /** What was read last on this line, for words that belong to it, such as the deviation of a length. */
  readonly last: Field | undefined
  /** How many tokens lie between what was read last and here. */
  readonly since: number
  readonly today: string
  readonly lensLabels: readonly string[]
}

export type Reader = (place: Place) => Reading | undefined

export const tokenAt = (place: Place, offset: number): Token | undefined => {
  const index = place.at + offset
  return index >= place.start && index < place.end ? place.tokens[index] : undefined
}

const SEPARATORS = new Set([',', ';', '.', '|', '•', '\u2022', '·', '*'])

/** Whether a statement ends here: the end of what may be read, a new line, or a separator. */
export function endsAt(place: Place, offset: number): boolean {
  const token = tokenAt(place, offset)
  if (token === undefined) return true
  const before = tokenAt(place, offset - 1)
  return SEPARATORS.has(token.text) || (before !== undefined && before.line !== token.line)
}

export const startsAt = (place: Place, offset: number): boolean => {
  const before = tokenAt(place, offset - 1)
  const token = tokenAt(place, offset)
  return (
    before === undefined ||
    SEPARATORS.has(before.text) ||
    before.text === '-' ||
    (token !== undefined && before.line !== token.line)
  )
}

export const fact = (field: Field, label: string, value: FactValue | undefined, shown: string, assumed?: string): Fact => ({
  field,
  label,
  value,
  shown,
  ...(assumed === undefined ? {} : { assumed }),
})
