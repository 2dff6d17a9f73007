import { bridge, unknownMark } from './marks.js'
import { numberOf } from './numbers.js'
import { matchAt, phrases } from './phrases.js'
import { endsAt, type Fact, type Fault, fact, type Place, type Reader, startsAt, tokenAt } from './reading.js'

type Sex = 'female' | 'male'
export const SEX_FORMS = phrases<Sex>([
  ...['male', 'man', 'gentleman', 'boy', 'm', 'men'].map((form) => [form, 'male'] as const),
  ...['female', 'woman', 'lady', 'f', 'women'].map((form) => [form, 'female'] as const),
])
export const AGE_WORDS = phrases(
  [
    'yo',
    'y/o',
    'y.o.',
    'y o',
    'years old',
    'year old',
    'year-old',
    'years-old',
    'yrs',
    'yr',
    'years',
    'y',
    'years of age',
    'yrs old',
    'yr old',
    'yr-old',
    'yoa',
  ].map((form) => [form, true] as const),
)
export const AGE_NAMES = phrases(
  ['age', 'aged', 'ages', 'pt age', 'patient age', 'age (years)', 'age/sex', 'age sex'].map((form) => [form, true] as const),
)
export const SEX_NAMES = phrases(['sex', 'gender'].map((form) => [form, true] as const))

const sexFact = (sex: Sex): Fact => fact('sex', 'sex', sex, sex)

function judgeAge(age: number): { readonly fact?: Fact; readonly fault?: Fault } {
  if (!Number.isInteger(age) || age < 18 || age > 110) {
    return {
      fault: {
        kind: 'out-of-range',
        field: 'ageYears',
        blocks: true,
        message: `age ${age} is outside 18 to 110 years.`,
        instead: 'age 72, in whole years; the rules here are for adults',
      },
    }
  }
  if (age >= 90) return { fact: fact('ageYears', 'age', 90, '90 or over', 'ages from 90 are kept as 90 or over') }
  return { fact: fact('ageYears', 'age', age, `${age} years`) }
}

const result = (used: number, age: ReturnType<typeof judgeAge>, sex: Sex | undefined): ReturnType<Reader> => ({
  used,
  facts: [...(age.fact === undefined ? [] : [age.fact]), ...(sex === undefined ? [] : [sexFact(sex)])],
  ...(age.fault === undefined ? {} : { faults: [age.fault] }),
})

const sexAt = (place: Place, offset: number): { readonly sex: Sex; readonly used: number } | undefined => {
  const match = matchAt(SEX_FORMS, place.tokens, place.at + offset)
  return match === undefined || place.at + offset + match.used > place.end ? undefined : { sex: match.value, used: match.used }
}

const BARE_YEARS = new Set(['years', 'yrs', 'yr', 'y'])
const EYE_OR_SEX = new Set('re le od os eye right left r l m f male female man woman patient pt aged age'.split(' '))
const opensAStatement = (place: Place): boolean =>
  startsAt(place, 0) || EYE_OR_SEX.has(tokenAt(place, -1)?.lower ?? '') || ['(', ':'].includes(tokenAt(place, -1)?.text ?? '')

/** "58M", "58 yo man", "72 F", "58 years". */
function ageFirst(place: Place): ReturnType<Reader> {
  const token = tokenAt(place, 0)
  if (token?.kind !== 'number' || !/^\d{1,3}$/.test(token.text)) return undefined
  let used = 1
  let aged = false
  if (tokenAt(place, used)?.text === '-') used += 1
  const words = matchAt(AGE_WORDS, place.tokens, place.at + used)
  if (words !== undefined) {
    used += words.used
    aged = true
  } else if (used > 1) return undefined
  const joint =
    ['/', '-', ','].includes(tokenAt(place, used)?.text ?? '') && sexAt(place, used + 1) !== undefined && !aged
      ? tokenAt(place, used)?.text === ','
        ? 0
        : 1
      : 0
  const sex = sexAt(place, used + joint)
  if (sex === undefined) {
    const ago = tokenAt(place, used)?.lower === 'ago'
    // "diabetic 20 years", "tamsulosin x5y": how long, not how old. "years old" says it wherever it stands.
    const bare = words !== undefined && BARE_YEARS.has(tokenAt(place, used - words.used)?.lower ?? '') && words.used === 1
    if (bare && !opensAStatement(place)) return undefined
    return aged && !ago ? result(used, judgeAge(numberOf(token)), undefined) : undefined
  }
  // A lone m may be metres or months; as a sex it is a capital, touches the age, or ends the statement.
  const letter = tokenAt(place, used + joint)
  const lone = letter?.lower === 'm' || letter?.lower === 'f'
  const afterEye = ['re', 'le', 'od', 'os', 'eye', 'right', 'left'].includes(tokenAt(place, -1)?.lower ?? '')
  if (lone && !aged && !afterEye && letter.text === letter.lower && letter.gap > 0 && !endsAt(place, used + joint + 1))
    return undefined
  return result(used + joint + sex.used, judgeAge(numberOf(token)), sex.sex)
}

/** "M58", "F 72", "man of 58", "male, age 58". */
function sexFirst(place: Place): ReturnType<Reader> {
  const sex = sexAt(place, 0)
  if (sex === undefined) return undefined
  const letter = tokenAt(place, 0)
  const lone = letter?.lower === 'm' || letter?.lower === 'f'
  let used = sex.used
  const stroke = tokenAt(place, used)?.text === '/' ? 1 : 0
  const of = ['of', 'aged', 'age'].includes(tokenAt(place, used + stroke)?.lower ?? '') ? 1 : 0
  const age = tokenAt(place, used + stroke + of)
  if (age?.kind === 'number' && /^\d{1,3}$/.test(age.text)) {
    used += stroke + of + 1
    const words = matchAt(AGE_WORDS, place.tokens, place.at + used)
    return result(used + (words?.used ?? 0), judgeAge(numberOf(age)), sex.sex)
  }
  if (lone && !(letter.text !== letter.lower && startsAt(place, 0) && endsAt(place, sex.used))) return undefined
  return { used: sex.used, facts: [sexFact(sex.sex)] }
}

/** Age and sex, in either order. */
export const readPerson: Reader = (place) => {
  const named = matchAt(AGE_NAMES, place.tokens, place.at)
  if (named !== undefined) {
    const used = named.used + bridge(place, named.used)
    const age = tokenAt(place, used)
    if (age?.kind === 'number') {
      const words = matchAt(AGE_WORDS, place.tokens, place.at + used + 1)
      const after = used + 1 + (words?.used ?? 0)
      const stroke = tokenAt(place, after)?.text === '/' ? 1 : 0
      const sex = sexAt(place, after + stroke)
      return result(after + (sex === undefined ? 0 : stroke + sex.used), judgeAge(numberOf(age)), sex?.sex)
    }
    const unknown = unknownMark(place, used)
    return unknown > 0 ? { used: used + unknown, facts: [fact('ageYears', 'age', undefined, 'not known')] } : undefined
  }
  const sexNamed = matchAt(SEX_NAMES, place.tokens, place.at)
  if (sexNamed !== undefined) {
    const used = sexNamed.used + bridge(place, sexNamed.used)
    const sex = sexAt(place, used)
    if (sex !== undefined) return { used: used + sex.used, facts: [sexFact(sex.sex)] }
    const unknown = unknownMark(place, used)
    return unknown > 0 ? { used: used + unknown, facts: [fact('sex', 'sex', undefined, 'not known')] } : undefined
  }
  return ageFirst(place) ?? sexFirst(place)
}
