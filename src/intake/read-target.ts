import { unknownMark } from './marks.js'
import { matchAt, phrases } from './phrases.js'
import { PLANO_FORMS, range, signMissing } from './read-refraction.js'
import { endsAt, fact, type Place, type Reader, tokenAt } from './reading.js'
import { shownDioptres, signed, signedAt } from './signed-dioptres.js'
import { unitAt } from './units-written.js'

const TARGET = [
  'target',
  'target refraction',
  'aim',
  'aim for',
  'aiming',
  'aiming for',
  'target se',
  'aimed at',
  'aim at',
  'goal',
  'refractive target',
  'planned refraction',
  'desired refraction',
  'want',
  'leave',
  'aimed for',
  'target rx',
  'aims for',
  'wants',
  'want to be',
  'wants to be',
  'wishes to be',
  'wishes to be left',
  'wants to be left',
  'would like',
  'would like to be',
  'tgt',
]
export const TARGET_FORMS = phrases(TARGET.map((form) => [form, true] as const))

const TO_VALUE = new Set([
  ':',
  '=',
  '~',
  '≈',
  'of',
  'is',
  'at',
  'for',
  'about',
  'around',
  'approx',
  'approximately',
  'circa',
  'se',
])
const MYOPIC = new Set(['myopic', 'myopia', 'myope'])
const HYPEROPIC = new Set(['hyperopic', 'hyperopia', 'hypermetropic', 'hypermetropia'])

const isSense = (word = ''): boolean => MYOPIC.has(word) || HYPEROPIC.has(word)

const HOW_MUCH = new Set(['low', 'slight', 'slightly', 'mild', 'mildly', 'small', 'moderate', 'a', 'bit', 'of', 'some'])

/** "low myopia" before the number of a target: how many tokens, ending with the word that carries the sign. */
function senseBefore(place: Place, offset: number): number {
  let used = 0
  while (used < 4 && HOW_MUCH.has(tokenAt(place, offset + used)?.lower ?? '')) used += 1
  const kind = tokenAt(place, offset + used)?.lower ?? ''
  return (MYOPIC.has(kind) || HYPEROPIC.has(kind)) && signedAt(place, offset + used + 1) !== undefined ? used + 1 : 0
}

const AIMS = new Set([...MYOPIC, ...HYPEROPIC, 'minus', 'plus', 'monovision', 'undercorrect', 'undercorrection'])

/** Whether a target was meant that could not be read: then no lens is worked out for another. "aim to be done by June" is none. */
function saysAnAim(place: Place, offset: number): boolean {
  if (['target', 'tgt', 'refractive', 'planned', 'desired'].includes(tokenAt(place, 0)?.lower ?? '')) return true
  return [0, 1, 2, 3].some((ahead) => AIMS.has(tokenAt(place, offset + ahead)?.lower ?? ''))
}

/** What begins a wish for anything at all: only a refraction after it makes it a target. */
const WISHES = new Set(['want', 'wants', 'wishes', 'would', 'leave', 'goal'])
const FOR_READING = new Set(['readers', 'reader', 'reading', 'add', 'glasses', 'specs', 'spectacles'])

/** The refraction wanted: "target -1.75", "aim plano". Without a sign it is not read: either sign may be meant. */
export const readTarget: Reader = (place) => {
  const match = matchAt(TARGET_FORMS, place.tokens, place.at)
  if (match === undefined) return undefined
  const bare = match.used
  let used = bare
  while (used < bare + 3 && TO_VALUE.has(tokenAt(place, used)?.lower ?? '')) used += 1
  const named = tokenAt(place, 0)?.lower ?? ''
  const plano = matchAt(PLANO_FORMS, place.tokens, place.at + used)
  if (plano !== undefined) {
    const word = tokenAt(place, used)?.lower ?? ''
    const assumed = word === 'plano' ? undefined : `"${word}" read as a target of 0.00 D`
    return { used: used + plano.used, facts: [fact('targetRefractionD', 'target', 0, '0.00 D', assumed)] }
  }
  const unknown = tokenAt(place, used)?.kind === 'number' ? 0 : unknownMark(place, used)
  if (unknown > 0) return { used: used + unknown, facts: [fact('targetRefractionD', 'target', undefined, 'not known')] }
  const sense = senseBefore(place, used)
  const found = signedAt(place, used + sense)
  if (found === undefined) {
    if (WISHES.has(named)) return undefined
    return {
      used: bare,
      faults: [
        {
          kind: 'not-understood',
          field: 'targetRefractionD',
          blocks: saysAnAim(place, used),
          message: 'the target has no value here.',
          instead: 'target -1.75, or nothing if it is not settled',
        },
      ],
    }
  }
  const saidBefore = sense === 0 ? '' : (tokenAt(place, used + sense - 1)?.lower ?? '')
  used += sense + found.used
  const unit = unitAt(place, used)
  if (unit?.unit === 'D') used += unit.used
  // "would like 2 weeks", "wants +2.5 readers"
  const isOther =
    FOR_READING.has(tokenAt(place, used)?.lower ?? '') || (!found.signed && unit?.unit !== 'D' && !endsAt(place, used))
  if (WISHES.has(named) && sense === 0 && isOther && !isSense(tokenAt(place, used)?.lower)) return undefined
  const joint = tokenAt(place, used)?.lower
  const other = joint === 'to' || joint === '/' || joint === 'or' ? signedAt(place, used + 1) : undefined
  if (other !== undefined) {
    return {
      used: used + 1 + other.used,
      faults: [
        {
          kind: 'ambiguous',
          field: 'targetRefractionD',
          blocks: true,
          message: 'two targets are given.',
          instead: `one target, such as target ${signed(found.value)}`,
        },
      ],
    }
  }
  const saidOf = tokenAt(place, used)?.lower === 'of' ? 1 : 0
  const saidAfter = tokenAt(place, used + saidOf)?.lower ?? ''
  const isAfter = MYOPIC.has(saidAfter) || HYPEROPIC.has(saidAfter)
  const kind = isAfter ? saidAfter : saidBefore
  const bySense = MYOPIC.has(kind) ? -1 : HYPEROPIC.has(kind) ? 1 : 0
  if (isAfter) used += saidOf + 1
  if (!found.signed && bySense === 0) return { used, faults: [signMissing('targetRefractionD', found.text)] }
  const value = bySense === 0 ? found.value : bySense * Math.abs(found.value)
  if (found.signed && bySense !== 0 && found.value * bySense < 0) {
    return {
      used,
      faults: [
        {
          kind: 'contradiction',
          field: 'targetRefractionD',
          blocks: true,
          message: `target ${signed(found.value)} and "${kind}" contradict each other.`,
          instead: `target -${found.text} or target +${found.text}`,
        },
      ],
    }
  }
  if (value < -12 || value > 6) return { used, faults: [range('targetRefractionD', signed(value), -12, 6)] }
  const assumed = found.dash
    ? 'the dash read as minus'
    : bySense !== 0 && !found.signed
      ? `the sign taken from "${kind}"`
      : undefined
  return { used, facts: [fact('targetRefractionD', 'target', value, shownDioptres(value), assumed)] }
}
