import type { Finding } from './finding.js'
import { LENS_AND_CORNEA_FINDINGS } from './findings-lens-and-cornea.js'
import { PERSON_AND_PLAN_FINDINGS } from './findings-person-and-plan.js'
import { RETINA_FINDINGS } from './findings-retina.js'
import { unknownMark } from './marks.js'
import { type Match, matchAt, type Phrases, phrases } from './phrases.js'
import { endsAt, type Fact, fact, type Place, type Reader, type Reading, startsAt, tokenAt } from './reading.js'

export const FINDINGS: readonly Finding[] = [...LENS_AND_CORNEA_FINDINGS, ...RETINA_FINDINGS, ...PERSON_AND_PLAN_FINDINGS]

interface Answer {
  readonly finding: Finding
  readonly answer: string
}
export const FINDING_NAMES = phrases(FINDINGS.flatMap((finding) => finding.names.map((form) => [form, finding] as const)))
export const FINDING_PHRASES = phrases<Answer>(
  FINDINGS.flatMap((finding) =>
    Object.entries(finding.phrases ?? {}).flatMap(([answer, forms]) => forms.map((form) => [form, { finding, answer }] as const)),
  ),
)
const ANSWERS: ReadonlyMap<Finding, Phrases<string>> = new Map(
  FINDINGS.map((finding) => [
    finding,
    phrases(Object.entries(finding.answers ?? {}).flatMap(([answer, forms]) => forms.map((form) => [form, answer] as const))),
  ]),
)
export const ANSWER_PHRASES: readonly Phrases<string>[] = [...ANSWERS.values()]
/** An answer before the name it belongs to: "hazy view", "weak zonules". */
const ANSWERS_FIRST = phrases<Answer>(
  FINDINGS.flatMap((finding) =>
    Object.entries(finding.answers ?? {}).flatMap(([answer, forms]) =>
      forms.flatMap((form) => finding.names.map((name) => [`${form} ${name}`, { finding, answer }] as const)),
    ),
  ),
)

export const NEGATIONS = phrases(
  [
    'no',
    'not',
    'nil',
    'denies',
    'without',
    'non',
    'never',
    'never had',
    'never taken',
    'no known',
    'no history of',
    'no evidence of',
    'no sign of',
    'no signs of',
    'neg for',
    'negative for',
    'absence of',
    'free of',
    'no h/o',
    'no hx of',
    'denies any',
    'not on',
    'not taking',
    'no previous',
    'no prior',
    'is not',
    'no planned',
    'not a',
    'never on',
    'has no',
    'no current',
    'not on any',
  ].map((form) => [form, true] as const),
)
export const PAST_BEFORE = phrases(
  [
    'previous',
    'previously on',
    'past',
    'ex',
    'former',
    'stopped',
    'prior',
    'used to take',
    'previously',
    'history of',
    'was on',
    'formerly on',
    'has stopped',
    'came off',
  ].map((form) => [form, true] as const),
)
export const YES = phrases(
  ['yes', 'present', 'positive', '+ve', 'y', 'known', 'confirmed', 'true', 'planned', 'seen', '+', '++', '✓'].map(
    (form) => [form, true] as const,
  ),
)
export const NO = phrases(
  [
    'no',
    'absent',
    'negative',
    '-ve',
    'nil',
    'none',
    'not present',
    'n',
    'denied',
    'not seen',
    'neg',
    'false',
    'not planned',
    'never',
  ].map((form) => [form, false] as const),
)
const DOUBTS = phrases(
  ['?', 'possible', 'possibly', 'query', 'suspected', 'probable', 'maybe', 'perhaps', '??', 'likely', 'suspicion of'].map(
    (form) => [form, true] as const,
  ),
)
export const DOUBT_WORDS = DOUBTS

const wordsAnswer = (value: string | boolean): string => (value === true ? 'yes' : value === false ? 'no' : value)
const toValue = (answer: string): string | boolean => (answer === 'true' ? true : answer === 'false' ? false : answer)

const found = (finding: Finding, value: string | boolean, used: number, assumed?: string): Reading => ({
  used,
  facts: [fact(finding.field, finding.label, value, wordsAnswer(value).replaceAll('-', ' '), assumed)],
})
const unknown = (finding: Finding, used: number): Reading => ({
  used,
  facts: [fact(finding.field, finding.label, undefined, 'not known')],
})

/** "no lattice" rules one finding out and says nothing of the others; it is kept as written. */
const ruledOut = (finding: Finding, words: string, used: number): Reading => ({
  used,
  faults: [
    {
      kind: 'not-understood',
      field: finding.field,
      blocks: false,
      message: `"${words}" rules out one thing only; ${finding.label} is left unknown and the words are kept.`,
      instead: `${finding.label} normal, if all of it was seen to be normal; otherwise nothing`,
    },
  ],
})

const within = <Value>(place: Place, match: Match<Value> | undefined, offset: number): Match<Value> | undefined =>
  match !== undefined && place.at + offset + match.used <= place.end ? match : undefined

const linked = (place: Place, offset: number): number => {
  let used = 0
  while (
    used < 2 &&
    [':', '=', 'is', '-', '(', 'are', 'was', 'were', 'looks', 'shows', 'status', 'today'].includes(
      tokenAt(place, offset + used)?.lower ?? '',
    )
  )
    used += 1
  return used
}

/** Doses and times after a drug, so that "od" there is not taken for an eye. */
function dose(place: Place, offset: number): number {
  let used = 0
  for (let turn = 0; turn < 4; turn += 1) {
    const token = tokenAt(place, offset + used)
    const next = tokenAt(place, offset + used + 1)
    if (token?.kind === 'number' && next !== undefined && ['mg', 'mcg', 'microgram', 'g', 'units'].includes(next.lower)) used += 2
    else if (
      token !== undefined &&
      used > 0 &&
      ['od', 'bd', 'om', 'on', 'nocte', 'daily', 'mane', 'tds', 'mr'].includes(token.lower)
    )
      used += 1
    else if (token !== undefined && ['od', 'bd', 'om', 'nocte', 'daily', 'mane', 'mr'].includes(token.text)) used += 1
    else break
  }
  return used
}

/** "stopped 2019", "stopped in 2019": the year says nothing that the plan uses, and is not left over as unread. */
function sinceYear(place: Place, offset: number): number {
  const joined = ['in', 'since'].includes(tokenAt(place, offset)?.lower ?? '') ? 1 : 0
  const year = tokenAt(place, offset + joined)
  return year?.kind === 'number' && /^(19|20)\d\d$/.test(year.text) ? joined + 1 : 0
}

/** What is said after a name: an answer of its own, yes, no, unknown, or nothing. */
function after(place: Place, finding: Finding, used: number): Reading | undefined {
  const table = ANSWERS.get(finding)
  const link = linked(place, used)
  for (const skip of link === 0 ? [0] : [link, 0]) {
    const at = used + skip
    const unknownUsed = unknownMark(place, at)
    const answer = table === undefined ? undefined : within(place, matchAt(table, place.tokens, place.at + at), at)
    if (answer !== undefined && answer.used >= unknownUsed) return found(finding, toValue(answer.value), at + answer.used)
    if (unknownUsed > 0) return unknown(finding, at + unknownUsed)
    const no = within(place, matchAt(NO, place.tokens, place.at + at), at)
    // "no" before another finding is that finding's own.
    const noIsNext =
      no !== undefined && tokenAt(place, at)?.lower === 'no' && skip === 0 && nameAt(place, at + no.used) !== undefined
    if (no !== undefined && finding.absent !== undefined && !noIsNext) return found(finding, finding.absent, at + no.used)
    const yes = within(place, matchAt(YES, place.tokens, place.at + at), at)
    if (yes !== undefined && finding.present !== undefined) return found(finding, finding.present, at + yes.used)
  }
  return undefined
}

const nameAt = (place: Place, offset: number): Match<Finding> | undefined =>
  within(place, matchAt(FINDING_NAMES, place.tokens, place.at + offset), offset)
const phraseAt = (place: Place, offset: number): Match<Answer> | undefined => {
  const one = within(place, matchAt(FINDING_PHRASES, place.tokens, place.at + offset), offset)
  const other = within(place, matchAt(ANSWERS_FIRST, place.tokens, place.at + offset), offset)
  if (one === undefined) return other
  return other === undefined || one.used >= other.used ? one : other
}

const textOf = (place: Place, from: number, to: number): string =>
  Array.from({ length: to - from }, (_, index) => tokenAt(place, from + index)?.text ?? '').join(' ')

/** Findings joined to a negated one: "no PXF or phacodonesis". A comma ends the negation. */
function negated(place: Place, start: number): Reading | undefined {
  let used = start
  const facts: Fact[] = []
  const faults: NonNullable<Reading['faults']>[number][] = []
  for (;;) {
    const phrase = phraseAt(place, used)
    const name = nameAt(place, used)
    if (name !== undefined && (phrase === undefined || name.used >= phrase.used)) {
      used += name.used
      const { finding: value } = { finding: name.value }
      if (value.absent === undefined) faults.push(...(ruledOut(value, `no ${value.label}`, used).faults ?? []))
      else facts.push(...(found(value, value.absent, used).facts ?? []))
    } else if (phrase !== undefined) {
      const words = textOf(place, used, used + phrase.used)
      used += phrase.used
      faults.push(...(ruledOut(phrase.value.finding, `no ${words}`, used).faults ?? []))
    } else return facts.length + faults.length === 0 ? undefined : { used, facts, faults }
    const joint = tokenAt(place, used)?.lower
    if (joint === undefined || !['or', 'nor', '/', 'and', '&'].includes(joint)) return { used, facts, faults }
    if (nameAt(place, used + 1) === undefined && phraseAt(place, used + 1) === undefined) return { used, facts, faults }
    // "no PXF and zonules weak": the second has its own answer.
    const next = nameAt(place, used + 1)
    if (next !== undefined && after(place, next.value, used + 1 + next.used) !== undefined) return { used, facts, faults }
    used += 1
  }
}

const doubtful = (finding: Finding, used: number, words: string): Reading => ({
  used,
  faults: [
    {
      kind: 'ambiguous',
      field: finding.field,
      blocks: false,
      message: `"${words}" is a doubt, not a finding; ${finding.label} is left unknown and the words are kept.`,
      instead: `${finding.names[0] ?? finding.label} yes, ${finding.names[0] ?? finding.label} no, or ${finding.names[0] ?? finding.label} unknown`,
    },
  ],
})

function named(place: Place, offset: number): Reading | undefined {
  const phrase = phraseAt(place, offset)
  const name = nameAt(place, offset)
  if (phrase !== undefined && (name === undefined || phrase.used > name.used)) {
    // "lens status: phakic", "retina flat on B-scan": a phrase stands by itself.
    return found(phrase.value.finding, toValue(phrase.value.answer), offset + phrase.used)
  }
  if (name === undefined)
    return phrase === undefined ? undefined : found(phrase.value.finding, toValue(phrase.value.answer), offset + phrase.used)
  const finding = name.value
  const used = offset + name.used
  const said = after(place, finding, used)
  if (said !== undefined) return said
  const mark = tokenAt(place, used)
  if (mark?.text === '-' && endsAt(place, used + 1)) return doubtful(finding, used + 1, textOf(place, offset, used + 1))
  if (finding.names.length === 0) return undefined
  const link = linked(place, used)
  const nested = link > 0 ? phraseAt(place, used + link) : phraseAt(place, used)
  if (nested !== undefined && nested.value.finding.field === finding.field)
    return found(nested.value.finding, toValue(nested.value.answer), used + link + nested.used)
  if (finding.present === undefined) {
    if (phrase !== undefined) return found(phrase.value.finding, toValue(phrase.value.answer), offset + phrase.used)
    return undefined
  }
  const doseUsed = finding.field === 'alphaBlocker' || finding.field === 'anticoagulant' ? dose(place, used) : 0
  if (finding.field === 'alphaBlocker') {
    const later = after(place, finding, used + doseUsed)
    if (later !== undefined) return { ...later, used: later.used + sinceYear(place, later.used) }
  }
  return found(finding, finding.present, used + doseUsed)
}

/** A finding from the table, present, absent, unknown or doubtful. */
export const readFinding: Reader = (place) => {
  const whole = phraseAt(place, 0)
  const negation = within(place, matchAt(NEGATIONS, place.tokens, place.at), 0)
  if (negation !== undefined && (whole === undefined || whole.used <= negation.used)) {
    const hyphen = tokenAt(place, negation.used)?.text === '-' && tokenAt(place, negation.used)?.gap === 0 ? 1 : 0
    const reading = negated(place, negation.used + hyphen)
    if (reading !== undefined) return reading
  }
  const doubt = within(place, matchAt(DOUBTS, place.tokens, place.at), 0)
  if (doubt !== undefined) {
    const name = nameAt(place, doubt.used)
    if (name !== undefined) return doubtful(name.value, doubt.used + name.used, textOf(place, 0, doubt.used + name.used))
  }
  const past = within(place, matchAt(PAST_BEFORE, place.tokens, place.at), 0)
  if (past !== undefined && nameAt(place, 0) === undefined) {
    const name = nameAt(place, past.used)
    if (name?.value.field === 'alphaBlocker')
      return found(name.value, 'past', past.used + name.used + dose(place, past.used + name.used))
    if (name !== undefined && (name.value.field === 'anticoagulant' || name.value.field === 'activeInfusion'))
      return ruledOut(name.value, textOf(place, 0, past.used + name.used), past.used + name.used)
  }
  const reading = named(place, 0)
  if (reading === undefined) return undefined
  return afterNegatedComma(place) ? { ...reading, facts: (reading.facts ?? []).map((one) => withNote(one)) } : reading
}

const withNote = (one: Fact): Fact =>
  one.value === true || one.value === 'present'
    ? { ...one, assumed: 'read as present: a "no" before the comma was not carried over' }
    : one

/** Whether the statement before the comma was negated, so that the asker can see that the negation was not carried over. */
function afterNegatedComma(place: Place): boolean {
  if (!startsAt(place, 0) || tokenAt(place, -1)?.text !== ',') return false
  for (let back = 2; back < 8; back += 1) {
    const word = tokenAt(place, -back)
    if (word === undefined || [',', ';', '.'].includes(word.text)) return false
    if (word.lower === 'no' || word.lower === 'denies' || word.lower === 'without') return true
  }
  return false
}
