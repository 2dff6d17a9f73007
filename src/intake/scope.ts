import { QUANTITIES } from '../terms/quantities.js'
import type { Gathered } from './gathered.js'
import type { Field, Reading, Side } from './reading.js'
import type { Token } from './tokens.js'

/** Which eye the message is speaking of, carried from statement to statement. */
export interface Scope {
  /** The eye that holds until another is named. */
  main: Side
  /** An eye that holds only for a while, and how long. */
  passing: { readonly side: Side; readonly until: 'comma' | 'stop' | 'line' | 'block' } | undefined
  /** A comma has just ended what was said of the fellow eye: what follows in the sentence is said so. */
  ended: boolean
  /** After the comma comes a measurement that may be of either eye; or one taken for the fellow eye, since this eye has its own. */
  next: 'either-eye' | 'fellow-eye' | undefined
  /** The passing eye was named inside a bracket, which ends it too. */
  bracketed: boolean
}

export const sideNow = (scope: Scope): Side => (scope.passing === undefined ? scope.main : scope.passing.side)

export function mention(
  reading: Reading,
  scope: Scope,
  tokens: readonly Token[],
  line: { readonly starts: boolean; readonly ends: boolean },
  out: Gathered,
): void {
  const eye = reading.eye
  if (eye === undefined) return
  if (eye.side === 'fellow') {
    // Alone on its line it heads a block, which a blank line or another eye ends.
    scope.passing = { side: 'fellow', until: line.starts && line.ends ? 'block' : eye.heading ? 'stop' : 'comma' }
    return
  }
  out.mentions.push({ eye: eye.side, operated: eye.operated, tokens })
  if (scope.main === undefined || eye.operated || scope.main === eye.side) {
    scope.main = eye.side
    scope.passing = undefined
  } else if (eye.heading && line.starts) {
    scope.main = eye.side
    scope.passing = undefined
  } else scope.passing = { side: eye.side, until: line.starts ? 'line' : eye.heading ? 'stop' : 'comma' }
}

/** What of a list of biometry may go on over a comma. */
const BIOMETRY: ReadonlySet<Field> = new Set<Field>([
  'axialLengthMm',
  'keratometry',
  'anteriorChamberDepthMm',
  'lensThicknessMm',
  'centralCornealThicknessUm',
  'whiteToWhiteMm',
  'endothelialCellDensityPerMm2',
])
const OF_THE_LENS: ReadonlySet<Field | undefined> = new Set<Field | undefined>(['lensStatus', 'refraction'])

/** A closing bracket ends what was said of an eye that was named inside it. */
export function closeBracket(scope: Scope): void {
  if (!scope.bracketed) return
  scope.passing = undefined
  scope.bracketed = false
}

/**
 * A comma ends what was said of the fellow eye, unless its lens or refraction follows. In a list of its biometry a further
 * measurement is taken for the fellow eye where this eye has its own; otherwise it may be of either, and is asked back.
 * @param peek the field of the next statement, read as one of the fellow eye
 */
export function separate(token: Token, scope: Scope, peek: () => Field | undefined, out: Gathered): void {
  const passing = scope.passing
  if (token.text !== ',') scope.ended = false
  scope.next = undefined
  if (passing === undefined || passing.until === 'line' || passing.until === 'block') return
  if (token.text === ';' || token.text === '.') scope.passing = undefined
  else if (token.text === ',' && passing.until === 'comma') {
    const next = peek()
    if (OF_THE_LENS.has(next)) return
    const before = out.facts.at(-1)
    const goesOn =
      before !== undefined &&
      before.side === passing.side &&
      BIOMETRY.has(before.what.field) &&
      (next !== before.what.field || next === 'keratometry')
    if (next !== undefined && BIOMETRY.has(next) && goesOn) {
      const hasItsOwn = out.facts.some(
        ({ what, side }) => what.field === next && (side === undefined || side === scope.main) && side !== passing.side,
      )
      scope.next = hasItsOwn ? 'fellow-eye' : 'either-eye'
      return
    }
    scope.passing = undefined
    scope.ended = true
  }
}

const MEASURED: ReadonlySet<string> = new Set(['keratometry', 'refraction', 'acuity', ...Object.keys(QUANTITIES)])

const withNote = (reading: Reading, note: string): Reading => ({
  ...reading,
  facts: (reading.facts ?? []).map((one) =>
    MEASURED.has(one.field) ? { ...one, assumed: one.assumed === undefined ? note : `${one.assumed}; ${note}` } : one,
  ),
})

/** A reading after a comma that closed or continued what was said of the fellow eye: noted, or asked back where it may be of either. */
export function inScope(reading: Reading, scope: Scope): Reading {
  const [after, first] = [scope.next, reading.facts?.[0]]
  scope.next = undefined
  if (after === 'either-eye' && first !== undefined) {
    const message = `it is not said which eye this ${first.label} belongs to: it stands in a list of the fellow eye, and the eye to be operated has none before it.`
    const instead = 'end what belongs to the fellow eye with ";", or write "fellow eye" before each of its values'
    return { used: reading.used, faults: [{ kind: 'ambiguous', field: first.field, blocks: true, message, instead }] }
  }
  if (after === 'fellow-eye') return withNote(reading, 'taken for the fellow eye: it goes on in its list')
  return scope.ended ? withNote(reading, 'taken for the eye to be operated: the comma ended the fellow eye') : reading
}
