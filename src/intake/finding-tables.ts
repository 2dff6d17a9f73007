import type { Finding } from './finding.js'
import { LENS_AND_CORNEA_FINDINGS } from './findings-lens-and-cornea.js'
import { PERSON_AND_PLAN_FINDINGS } from './findings-person-and-plan.js'
import { RETINA_FINDINGS } from './findings-retina.js'
import { type Match, matchAt, type Phrases, phrases } from './phrases.js'
import type { Place } from './reading.js'

export const FINDINGS: readonly Finding[] = [...LENS_AND_CORNEA_FINDINGS, ...RETINA_FINDINGS, ...PERSON_AND_PLAN_FINDINGS]

export interface Answer {
  readonly finding: Finding
  readonly answer: string
}
export const FINDING_NAMES = phrases(FINDINGS.flatMap((finding) => finding.names.map((form) => [form, finding] as const)))
export const FINDING_PHRASES = phrases<Answer>(
  FINDINGS.flatMap((finding) =>
    Object.entries(finding.phrases ?? {}).flatMap(([answer, forms]) => forms.map((form) => [form, { finding, answer }] as const)),
  ),
)
export const ANSWERS: ReadonlyMap<Finding, Phrases<string>> = new Map(
  FINDINGS.map((finding) => [
    finding,
    phrases(Object.entries(finding.answers ?? {}).flatMap(([answer, forms]) => forms.map((form) => [form, answer] as const))),
  ]),
)
export const ANSWER_PHRASES: readonly Phrases<string>[] = [...ANSWERS.values()]
/** An answer before the name it belongs to: "hazy view", "weak zonules". */
export const ANSWERS_FIRST = phrases<Answer>(
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
/** Negations of the present: they say nothing of what was taken once. */
export const NOT_NOW: ReadonlySet<string> = new Set(['not', 'not on', 'not taking', 'is not', 'no current', 'not on any'])
export const PAST_BEFORE = phrases(
  [
    'previous',
    'prev',
    'previously on',
    'previously took',
    'took',
    'was taking',
    'stopped taking',
    'past',
    'ex',
    'former',
    'stopped',
    'prior',
    'used to take',
    'previously',
    'history of',
    'h/o',
    'hx of',
    'hx',
    'was on',
    'formerly on',
    'has stopped',
    'came off',
    'had',
    'old',
    'repaired',
  ].map((form) => [form, true] as const),
)
/** What makes of a finding something that was. */
export const PAST_AFTER = phrases(
  ['previously', 'in the past', 'years ago', 'year ago', 'yrs ago', 'months ago', 'before', 'resolved'].map(
    (form) => [form, true] as const,
  ),
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
    'refused',
    'refuses',
    'declined',
    'declines',
    'contraindicated',
    'not suitable',
    'unsuitable',
    'not tolerated',
    'not an option',
    'ruled out',
    'excluded',
  ].map((form) => [form, false] as const),
)
export const DOUBTS = phrases(
  ['?', 'possible', 'possibly', 'query', 'suspected', 'probable', 'maybe', 'perhaps', '??', 'likely', 'suspicion of'].map(
    (form) => [form, true] as const,
  ),
)

export const within = <Value>(place: Place, match: Match<Value> | undefined, offset: number): Match<Value> | undefined =>
  match !== undefined && place.at + offset + match.used <= place.end ? match : undefined

/** The name of a finding that starts here. */
export const nameAt = (place: Place, offset: number): Match<Finding> | undefined =>
  within(place, matchAt(FINDING_NAMES, place.tokens, place.at + offset), offset)

/** A phrase that is an answer in itself, or an answer before its name, whichever is longer. */
export function phraseAt(place: Place, offset: number): Match<Answer> | undefined {
  const one = within(place, matchAt(FINDING_PHRASES, place.tokens, place.at + offset), offset)
  const other = within(place, matchAt(ANSWERS_FIRST, place.tokens, place.at + offset), offset)
  if (one === undefined) return other
  return other === undefined || one.used >= other.used ? one : other
}
