import type { Eye } from '../terms/eye.js'
import { matchAt, phrases } from './phrases.js'
import { acuityAt } from './read-acuity.js'
import { KERATOMETRY_FORMS } from './read-keratometry.js'
import { QUANTITY_FORMS } from './read-measurement.js'
import { readPerson } from './read-person.js'
import { endsAt, type Place, type Reader, startsAt, tokenAt } from './reading.js'

export const EYE_FORMS = phrases<Eye>([
  ...['re', 'od', 'o.d.', 'right eye', 'right', 'r eye', 'r/e', 'rt eye', 'rt', 'oculus dexter', 'righteye'].map(
    (form) => [form, 'right'] as const,
  ),
  ...['le', 'os', 'o.s.', 'left eye', 'left', 'l eye', 'l/e', 'lt eye', 'oculus sinister', 'lefteye'].map(
    (form) => [form, 'left'] as const,
  ),
])
export const FELLOW_FORMS = phrases(
  [
    'fellow eye',
    'fellow',
    'other eye',
    'contralateral eye',
    'contralateral',
    'second eye',
    'fe',
    'the other eye',
    'first eye',
    'fellow-eye',
    'other',
  ].map((form) => [form, true] as const),
)
const SINGLE: Readonly<Record<string, Eye>> = { r: 'right', l: 'left' }
/** Words that make an eye the one to be operated, before or after its name. */
const OPERATION_BEFORE = new Set([
  'operate',
  'operating',
  'operated',
  'operation',
  'op',
  'surgery',
  'phaco',
  'cataract',
  'listed',
  'list',
  'eye',
  'side',
  'do',
  'doing',
  'for',
  'on',
  'planned',
  'case',
])
const OPERATION_AFTER = new Set(['phaco', 'cataract', 'surgery', 'operation', 'listed', 'op', 'phacoemulsification', 'cat'])
const BRIDGE = new Set([':', '=', 'the', 'is', 'on', 'for', 'of', 'eye', '-'])

/** "fellow eye: right" names the side of the eye that is not operated. */
function saidOfFellow(place: Place): boolean {
  for (let back = 1; back <= 4; back += 1) {
    const word = tokenAt(place, -back)?.lower ?? ''
    if (['fellow', 'other', 'contralateral'].includes(word)) return true
    if (word !== 'eye' && !BRIDGE.has(word)) return false
  }
  return false
}

function saidBefore(place: Place): boolean {
  for (let back = 1; back <= 3; back += 1) {
    const word = tokenAt(place, -back)
    if (word === undefined) return false
    if (OPERATION_BEFORE.has(word.lower)) return word.lower !== 'for' && word.lower !== 'on'
    if (!BRIDGE.has(word.lower)) return false
  }
  return false
}

function saidAfter(place: Place, used: number): boolean {
  const skip = ['for', 'is', 'to', 'the'].filter((word, index) => tokenAt(place, used + index)?.lower === word).length
  const word = tokenAt(place, used + skip)?.lower ?? ''
  return OPERATION_AFTER.has(word)
}

/** An age or a sex after it shows that the eye opens the message. */
function opensMessage(place: Place, used: number): boolean {
  const person = readPerson({ ...place, at: place.at + used })
  if (person?.facts?.some(({ field }) => field === 'ageYears') === true) return true
  if (place.at !== place.start || tokenAt(place, 0)?.line !== 1) return false
  const next = tokenAt(place, used)
  // "RE 64 …" is an age; "RE 6/9 LE 6/36" and "RE 29.85 LE 30.40" say nothing of which is operated.
  if (next?.kind === 'number') return next.gap > 0 && /^\d{2,3}$/.test(next.text) && !acuityAt(place, used)
  return next !== undefined && [',', ';', '.', 'm', 'f', 'male', 'female', 'man', 'woman', 'aged', 'age'].includes(next.lower)
}

function lettersOnly(place: Place): { readonly eye: Eye; readonly used: number } | undefined {
  const token = tokenAt(place, 0)
  const eye = token === undefined ? undefined : SINGLE[token.lower]
  if (eye === undefined || token?.kind !== 'word') return undefined
  // A lone letter counts only beside what leaves nothing else: "operate R", "eye: L", "R phaco", "R: AL 24".
  const capital = token.text === token.text.toUpperCase()
  const heads = capital && (tokenAt(place, 1)?.text === ':' || isMeasured(place, 1) || acuityAt(place, 1))
  return heads || saidBefore(place) || saidAfter(place, 1) ? { eye, used: 1 } : undefined
}

/** What is said of an eye that nobody operates for cataract: after it, the other eye is meant. */
const GONE = new Set(['enucleated', 'eviscerated', 'prosthetic', 'prosthesis', 'phthisical', 'npl', 'nlp'])

/** "L lost to RD 2011", "right enucleated": the eye that is gone is the fellow eye. "L lost vision" may be the one to operate. */
function isGone(place: Place, used: number): boolean {
  const next = tokenAt(place, used)?.lower ?? ''
  if (GONE.has(next)) return true
  const after = tokenAt(place, used + 1)
  return (
    next === 'lost' && (['to', 'from', 'in', 'after'].includes(after?.lower ?? '') || /^(19|20)\d\d$/.test(after?.text ?? ''))
  )
}

/** "re" and "le" in small letters are also words; they count where a value or an end follows. */
function isAWord(place: Place, used: number): boolean {
  const text = tokenAt(place, 0)?.text ?? ''
  if (used > 1) return false
  if (text === 're' || text === 'Re' || text === 'le' || text === 'Le') {
    const next = tokenAt(place, used)
    if (next?.text === ':') return text === 're' || text === 'Re'
    return !(
      endsAt(place, used) ||
      next?.kind === 'number' ||
      isMeasured(place, used) ||
      saidBefore(place) ||
      saidAfter(place, used)
    )
  }
  if (text === 'right' || text === 'left' || text === 'Right' || text === 'Left') {
    const next = tokenAt(place, used)?.lower ?? ''
    return ['now', 'side', 'away', 'untreated', 'over', 'in', 'handed'].includes(next) && next !== 'side'
  }
  return false
}

const isMeasured = (place: Place, used: number): boolean =>
  matchAt(QUANTITY_FORMS, place.tokens, place.at + used) !== undefined ||
  matchAt(KERATOMETRY_FORMS, place.tokens, place.at + used) !== undefined

/** Which eye what follows is about, and whether the words say that it is the one to be operated. */
export const readEye: Reader = (place) => {
  const single = lettersOnly(place)
  const match = matchAt(EYE_FORMS, place.tokens, place.at)
  const eye = match?.value ?? single?.eye
  let used = match?.used ?? single?.used ?? 0
  const letter = match === undefined && /^[RL]$/.test(tokenAt(place, 0)?.text ?? '') ? 1 : used
  if (letter > 0 && isGone(place, letter)) return { used: letter, eye: { side: 'fellow', operated: false, heading: false } }
  if (eye === undefined || used === 0 || place.at + used > place.end) return undefined
  // "LT" is the lens thickness; it is an eye only where the word follows.
  if (match !== undefined && isAWord(place, used)) return undefined
  if (tokenAt(place, used)?.lower === 'eye') used += 1
  const colon = tokenAt(place, used)?.text === ':'
  if (saidOfFellow(place)) return { used: used + (colon ? 1 : 0), eye: { side: 'fellow', operated: false, heading: colon } }
  const alone = startsAt(place, 0) && tokenAt(place, used + (colon ? 1 : 0)) === undefined
  const operated = saidBefore(place) || saidAfter(place, used) || opensMessage(place, used)
  if (colon) used += 1
  return { used, eye: { side: eye, operated, heading: colon || alone } }
}

const FELLOW_NEEDS_MORE = new Set(['fellow', 'other', 'contralateral', 'fe'])
const FELLOW_FOLLOWS = new Set([
  'al',
  'axl',
  'axial',
  'k',
  'k1',
  'km',
  'ks',
  'pseudophakic',
  'phakic',
  'aphakic',
  'iol',
  'refraction',
  'se',
  'rx',
  'cataract',
  'good',
  'va',
  'acd',
  'eye',
  'lost',
  'blind',
  'has',
  'had',
  'already',
  'k2',
  'lt',
  'cct',
  'wtw',
  'iop',
  'ecd',
  'refr',
  'vision',
  'plano',
  'pciol',
  'pseudophake',
  'amblyopic',
  'enucleated',
  'prosthetic',
])

/** "fellow eye …", "other eye: …"; "fellow" alone is a surgeon's grade. */
export const readFellow: Reader = (place) => {
  const match = matchAt(FELLOW_FORMS, place.tokens, place.at)
  if (match === undefined) return undefined
  if (match.used === 1 && FELLOW_NEEDS_MORE.has(tokenAt(place, 0)?.lower ?? '')) {
    const withColon = tokenAt(place, 1)?.text === ':'
    const next = tokenAt(place, withColon ? 2 : 1)
    // "Fellow: OD lost to trauma" is the fellow eye; "fellow, RE" is who operates.
    const named = withColon && matchAt(EYE_FORMS, place.tokens, place.at + 2) !== undefined
    const value = next !== undefined && next.kind === 'number' && /^[+-]|[.,]/.test(next.text)
    const follows = named || value || FELLOW_FOLLOWS.has(next?.lower ?? '')
    if (!follows) return undefined
  }
  const colon = tokenAt(place, match.used)?.text === ':'
  const alone = startsAt(place, 0) && tokenAt(place, match.used + (colon ? 1 : 0)) === undefined
  return { used: match.used + (colon ? 1 : 0), eye: { side: 'fellow', operated: false, heading: colon || alone } }
}

const BOTH = phrases(
  ['both eyes', 'both', 'ou', 'be', 'bilateral', 'each eye', 'be cataract'].map((form) => [form, true] as const),
)
export const readBothEyes: Reader = (place) => {
  const match = matchAt(BOTH, place.tokens, place.at)
  if (match === undefined) return undefined
  const text = tokenAt(place, 0)?.text ?? ''
  if (match.used === 1 && !['OU', 'BE', 'bilateral', 'Bilateral'].includes(text)) return undefined
  return {
    used: match.used,
    faults: [
      {
        kind: 'ambiguous',
        field: 'eye',
        blocks: false,
        message: 'both eyes are named; a case is one eye.',
        instead: 'operate RE or operate LE, and the other as fellow eye',
      },
    ],
  }
}
