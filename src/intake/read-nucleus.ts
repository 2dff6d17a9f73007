import { COLOUR_WORDS, densityBand, GRADE_RANGES, type NuclearScale, SCALE_NAMES } from '../case/nuclear-density.js'
import { unknownMark } from './marks.js'
import { numberOf } from './numbers.js'
import { matchAt, phrases } from './phrases.js'
import { fact, type Place, type Reader, type Reading, tokenAt } from './reading.js'

const SCALE_FORMS: Readonly<Record<Exclude<NuclearScale, 'colour'>, readonly string[]>> = {
  'locs-iii-no': [
    'locs iii no',
    'locs3 no',
    'locs 3 no',
    'locs iii',
    'locs',
    'locs3',
    'locs 3',
    'nuclear opalescence',
    'locs no',
    'locs iii nuclear',
  ],
  'locs-iii-nc': ['locs iii nc', 'locs3 nc', 'locs 3 nc', 'nc', 'nuclear colour', 'nuclear color', 'locs nc'],
  emery: ['emery', 'emery little', 'emery-little', 'emery grade', 'emery-little grade'],
  buratto: ['buratto', 'buratto grade'],
  plus: ['ns', 'nuclear sclerosis', 'nuclear sclerotic', 'nuc scl', 'nso', 'nsc'],
  'bcn-10': ['bcn', 'bcn 10', 'bcn10', 'bcn 10 n', 'bcn n', 'bcn10 n'],
  who: ['who', 'who nuclear', 'who nuc', 'who grade', 'who simplified'],
}
export const SCALE_PHRASES = phrases(
  (Object.keys(SCALE_FORMS) as Exclude<NuclearScale, 'colour'>[]).flatMap((scale) =>
    SCALE_FORMS[scale].map((form) => [form, scale] as const),
  ),
)
const OTHER_COLOURS: Readonly<Record<string, string>> = {
  'dark-brown': 'dark brown',
  'rock-hard': 'rock hard',
  rockhard: 'rock hard',
  brunescence: 'brunescent',
  'cataracta nigra': 'nigra',
  'cataracta rubra': 'rubra',
  gray: 'grey',
  'grey yellow': 'grey-yellow',
  'pale-yellow': 'pale yellow',
  browny: 'brown',
}
export const COLOUR_PHRASES = phrases([...COLOUR_WORDS.map((word) => [word, word] as const), ...Object.entries(OTHER_COLOURS)])
export const NUCLEUS_WORDS = phrases(
  [
    'nucleus',
    'nuclear',
    'nucleus grade',
    'nuclear grade',
    'cataract grade',
    'nuclear density',
    'nucleus density',
    'lens grade',
    'grade',
    'nucleus hardness',
    'nuclear cataract',
    'density',
  ].map((form) => [form, true] as const),
)
const ROMANS: Readonly<Record<string, number>> = { i: 1, ii: 2, iii: 3, iv: 4, v: 5 }

interface GradeFound {
  readonly used: number
  readonly grade: number
  readonly plus: boolean
}

/** A grade: "5.2", "4+", "IV", "3-4+", with words such as "grade" before it. */
function gradeAt(place: Place, offset: number): GradeFound | undefined {
  let at = offset
  while ([':', '=', 'grade', 'of', 'is', 'about', 'n', '-'].includes(tokenAt(place, at)?.lower ?? '')) at += 1
  const token = tokenAt(place, at)
  if (token === undefined) return undefined
  const roman = token.kind === 'word' ? ROMANS[token.lower] : undefined
  if (token.kind !== 'number' && roman === undefined) return undefined
  if (token.text.startsWith('-')) return undefined
  let grade = roman ?? numberOf(token)
  let used = at - offset + 1
  const dash = tokenAt(place, at + 1)
  const upper = tokenAt(place, at + 2)
  if (dash?.text === '-' && dash.gap === 0 && upper !== undefined && upper.gap === 0) {
    const top = upper.kind === 'number' ? numberOf(upper) : ROMANS[upper.lower]
    // A grade between two steps is kept as the middle: "3-4+" is 3.5.
    if (top !== undefined && top > grade && top <= grade + 1) {
      grade = (grade + top) / 2
      used += 2
    }
  }
  const mark = tokenAt(place, offset + used)
  const plus = token.text.startsWith('+') || (mark?.text === '+' && mark.gap === 0)
  if (plus && mark?.text === '+') used += 1
  return { used, grade, plus }
}

function graded(scale: Exclude<NuclearScale, 'colour'>, used: number, grade: number, assumed?: string): Reading {
  const { low, high } = GRADE_RANGES[scale]
  const name = SCALE_NAMES[scale]
  if (densityBand(scale, grade) === undefined) {
    return {
      used,
      faults: [
        {
          kind: 'out-of-range',
          field: 'nucleus',
          blocks: true,
          message: `${name} ${grade} is outside the scale, which runs from ${low} to ${high}.`,
          instead: `${name} with a grade from ${low} to ${high}`,
        },
      ],
    }
  }
  return {
    used,
    facts: [fact('nucleus', 'nucleus', { scale, grade }, `${name} ${scale === 'plus' ? `${grade}+` : grade}`, assumed)],
  }
}

/** "NO 5.2" is a grade; "no 3 …" is a negation. Capitals touching or facing a number are the scale. */
function readOpalescence(place: Place): Reading | undefined {
  const [name, value] = [tokenAt(place, 0), tokenAt(place, 1)]
  if (name?.lower !== 'no') return undefined
  const skipped = value?.text === ':' || value?.text === '=' ? 1 : 0
  const token = tokenAt(place, 1 + skipped)
  if (token?.kind !== 'number' || token.text.startsWith('-') || token.text.startsWith('+')) return undefined
  const decimal = /[.,]/.test(token.text)
  if (name.text !== 'NO' && !decimal) return undefined
  const assumed = name.text === 'NO' ? undefined : '"no" before a decimal read as LOCS III nuclear opalescence'
  return graded('locs-iii-no', 2 + skipped, numberOf(token), assumed)
}

const scaleMissing = (used: number, words: string): Reading => ({
  used,
  faults: [
    {
      kind: 'ambiguous',
      field: 'nucleus',
      blocks: false,
      message: `${words}: on which scale? It is kept as written and not used.`,
      instead: 'NO 5.2 (LOCS III), Emery IV, Buratto 5, NS 3+, BCN 8, WHO 3, or a colour such as brown',
    },
  ],
})

/** "BCN 10" may be the scale or its last grade. */
const scaleWithoutGrade = (used: number): Reading => ({
  used,
  faults: [
    {
      kind: 'ambiguous',
      field: 'nucleus',
      blocks: false,
      message: 'this may be the scale of eleven grades or its last grade. It is kept as written and not used.',
      instead: 'BCN grade 8, or BCN grade 10',
    },
  ],
})

/** The nucleus on any of the named scales, or as a colour word. */
export const readNucleus: Reader = (place) => nucleusAt(place, 0)

/** A name may stand before a scale or a colour, as in "nucleus LOCS III NO 5.2", but not without end. */
const DEEPEST = 3

function nucleusAt(place: Place, depth: number): Reading | undefined {
  if (depth > DEEPEST) return undefined
  const opalescence = readOpalescence(place)
  if (opalescence !== undefined) return opalescence
  const scale = matchAt(SCALE_PHRASES, place.tokens, place.at)
  if (scale !== undefined) {
    const found = gradeAt(place, scale.used)
    const bareLocs =
      scale.value === 'locs-iii-no' &&
      tokenAt(place, scale.used - 1)?.lower !== 'no' &&
      tokenAt(place, scale.used - 1)?.lower !== 'opalescence'
    if (found === undefined && bareLocs) {
      const next = { ...place, at: place.at + scale.used }
      const nested = scale.used < place.end - place.at ? nucleusAt(next, depth + 1) : undefined
      return nested === undefined ? undefined : { ...nested, used: scale.used + nested.used }
    }
    if (found === undefined) {
      const colour = matchAt(COLOUR_PHRASES, place.tokens, place.at + scale.used)
      if (colour !== undefined) return coloured(scale.used + colour.used, colour.value)
      if (scale.value === 'bcn-10' && scale.used > 1) return scaleWithoutGrade(scale.used)
      const unknown = unknownMark(place, scale.used)
      return unknown > 0 ? { used: scale.used + unknown, facts: [fact('nucleus', 'nucleus', undefined, 'not known')] } : undefined
    }
    const assumed = bareLocs
      ? 'read as LOCS III nuclear opalescence'
      : scale.value === 'plus' && !found.plus
        ? 'read on the 1+ to 4+ shorthand'
        : undefined
    return graded(scale.value, scale.used + found.used, found.grade, assumed)
  }
  const colour = matchAt(COLOUR_PHRASES, place.tokens, place.at)
  if (colour !== undefined) {
    const next = tokenAt(place, colour.used)?.lower ?? ''
    if (['iris', 'irides', 'irises', 'eyes', 'eyed'].includes(next) || colour.value === 'clear' || colour.value === 'grey')
      return undefined
    const refused = refusedColour(place, colour.used)
    if (refused !== undefined) return refused
    return coloured(
      colour.used +
        (['nucleus', 'cataract', 'lens', 'ns'].includes(next) && tokenAt(place, colour.used + 1)?.kind !== 'number' ? 1 : 0),
      colour.value,
    )
  }
  return readShorthand(place, depth)
}

/** "brown: no" and "brunescent: unknown", as a form may have it. */
function refusedColour(place: Place, used: number): Reading | undefined {
  if (tokenAt(place, used)?.text !== ':' && tokenAt(place, used)?.text !== '=') return undefined
  const unknown = unknownMark(place, used + 1)
  if (unknown > 0) return { used: used + 1 + unknown, facts: [fact('nucleus', 'nucleus', undefined, 'not known')] }
  const word = tokenAt(place, used + 1)?.lower ?? ''
  if (!['no', 'n', 'nil', 'none', 'absent', 'negative'].includes(word) || tokenAt(place, used + 2)?.kind === 'number')
    return undefined
  const message = 'this rules out one colour only; the nucleus is left unknown and the words are kept.'
  const fault = {
    kind: 'not-understood',
    field: 'nucleus',
    blocks: false,
    message,
    instead: 'the grade with its scale, such as NS 2+',
  } as const
  return { used: used + 2, faults: [fault] }
}

const coloured = (used: number, word: string): Reading => ({
  used,
  facts: [fact('nucleus', 'nucleus', { scale: 'colour', grade: word }, word)],
})

/** What else is graded by pluses. */
const GRADED_TOO: ReadonlySet<string> = new Set(
  (
    'psc pscc psco pco asc cortical cortex co cs csc subcapsular posterior anterior spokes vacuoles guttata guttae flare cell cells ' +
    'haze oedema edema injection laxity zonular pxf pex reflex glow rapd'
  ).split(' '),
)

/** "4+", "3+ NS", "nucleus 4+", "dense nucleus", "grade 4". */
function readShorthand(place: Place, depth: number): Reading | undefined {
  const word = matchAt(NUCLEUS_WORDS, place.tokens, place.at)
  if (word === undefined) {
    const first = tokenAt(place, 0)
    if (first?.kind === 'number') {
      const found = gradeAt(place, 0)
      if (found?.plus !== true || found.grade > 4 || first.text.startsWith('+')) return undefined
      // "4+ PSC" and "flare 2+" grade something else.
      if ([tokenAt(place, -1), tokenAt(place, found.used)].some((word) => GRADED_TOO.has(word?.lower ?? ''))) return undefined
      const after = matchAt(SCALE_PHRASES, place.tokens, place.at + found.used)
      const nucleus = matchAt(NUCLEUS_WORDS, place.tokens, place.at + found.used)
      return graded('plus', found.used + (after?.value === 'plus' ? after.used : (nucleus?.used ?? 0)), found.grade)
    }
    const hint = first?.lower
    const shade = matchAt(COLOUR_PHRASES, place.tokens, place.at + 1)
    if ((hint === 'dense' || hint === 'hard' || hint === 'very') && shade !== undefined && depth < DEEPEST) {
      const nested = nucleusAt({ ...place, at: place.at + 1 }, depth + 1)
      return nested === undefined ? undefined : { ...nested, used: nested.used + 1 }
    }
    const next = tokenAt(place, 1)?.lower
    if (
      (hint === 'dense' || hint === 'hard' || hint === 'very') &&
      next !== undefined &&
      ['cataract', 'nucleus', 'nuclear', 'lens', 'cat', 'dense', 'hard'].includes(next)
    )
      return scaleMissing(2, `"${hint} ${next}"`)
    return hint === 'dense' ? scaleMissing(1, '"dense"') : undefined
  }
  let used = word.used
  while ([':', '=', 'is', 'grade'].includes(tokenAt(place, used)?.lower ?? '')) used += 1
  const colour = matchAt(COLOUR_PHRASES, place.tokens, place.at + used)
  if (colour !== undefined) return coloured(used + colour.used, colour.value)
  const found = gradeAt(place, used)
  if (found?.plus === true && found.grade <= 4) return graded('plus', used + found.used, found.grade)
  if (found !== undefined) return scaleMissing(used + found.used, `nucleus grade ${found.grade}`)
  const unknown = unknownMark(place, used)
  if (unknown > 0 && tokenAt(place, 0)?.lower !== 'grade')
    return { used: used + unknown, facts: [fact('nucleus', 'nucleus', undefined, 'not known')] }
  const nested = used < place.end - place.at ? nucleusAt({ ...place, at: place.at + used }, depth + 1) : undefined
  return nested === undefined ? undefined : { ...nested, used: used + nested.used }
}
