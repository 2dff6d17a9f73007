import type { Finding } from './finding.js'
import { ANSWERS, NO, nameAt, phraseAt, within, YES } from './finding-tables.js'
import { unknownMark } from './marks.js'
import { matchAt } from './phrases.js'
import { endsAt, fact, type Place, type Reading, tokenAt } from './reading.js'

const wordsAnswer = (value: string | boolean): string => (value === true ? 'yes' : value === false ? 'no' : value)
export const toValue = (answer: string): string | boolean => (answer === 'true' ? true : answer === 'false' ? false : answer)

export const found = (finding: Finding, value: string | boolean, used: number): Reading => ({
  used,
  facts: [fact(finding.field, finding.label, value, wordsAnswer(value).replaceAll('-', ' '))],
})
const unknown = (finding: Finding, used: number): Reading => ({
  used,
  facts: [fact(finding.field, finding.label, undefined, 'not known')],
})

const leftUnknown = (
  finding: Finding,
  used: number,
  message: string,
  kind: 'ambiguous' | 'not-understood',
  instead: string,
): Reading => ({
  used,
  faults: [
    {
      kind,
      field: finding.field,
      blocks: false,
      message: `${message}; ${finding.label} is left unknown and the words are kept.`,
      instead,
    },
  ],
})

/** One drug of a class that is not taken, or a class that is not taken now: neither says "never". */
export const notNever = (finding: Finding, words: string, used: number): Reading =>
  leftUnknown(
    finding,
    used,
    `"${words}" does not say that none was ever taken, and past use counts`,
    'not-understood',
    'no alpha blocker, if none was ever taken; or the one that was, such as previous tamsulosin',
  )

/** "no lattice" rules one finding out and says nothing of the others; it is kept as written. */
export const ruledOut = (finding: Finding, words: string, used: number): Reading => {
  if (finding.field === 'alphaBlocker') return notNever(finding, words, used)
  return leftUnknown(
    finding,
    used,
    `"${words}" rules out one thing only`,
    'not-understood',
    `${finding.label} normal, if all of it was seen to be normal; otherwise nothing`,
  )
}

export const doubtful = (finding: Finding, words: string, used: number): Reading => {
  const name = finding.names[0] ?? finding.label
  const instead = `${name} yes, ${name} no, or ${name} unknown`
  return leftUnknown(finding, used, `"${words}" is a doubt, not a finding`, 'ambiguous', instead)
}

/** "chop or manual": what is still weighed. */
export const openChoice = (finding: Finding, words: string, used: number): Reading =>
  leftUnknown(finding, used, `"${words}" is a choice that is still open`, 'ambiguous', `the ${finding.label}, once it is settled`)

/** What was once, and may not be now: "previous retinal detachment". */
export const inThePast = (finding: Finding, words: string, used: number): Reading =>
  leftUnknown(
    finding,
    used,
    `"${words}" says what was once, not what is`,
    'not-understood',
    `${finding.label} as it is now, such as treated`,
  )

export const textOf = (place: Place, from: number, to: number): string =>
  Array.from({ length: to - from }, (_, index) => tokenAt(place, from + index)?.text ?? '').join(' ')

const LINKS = new Set([':', '=', 'is', '-', '(', 'are', 'was', 'were', 'looks', 'shows', 'status', 'today'])
export function linked(place: Place, offset: number): number {
  let used = 0
  while (used < 2 && LINKS.has(tokenAt(place, offset + used)?.lower ?? '')) used += 1
  return used
}

/**
 * "yes", "no" or a missing mark after a name or a phrase. A bare "no" counts only where the statement ends after it:
 * otherwise it belongs to what follows, as in "glaucoma no view" or "brown NO 5.2".
 */
function yesOrNo(
  place: Place,
  at: number,
  isLinked: boolean,
): { readonly answer: 'yes' | 'no' | 'unknown'; readonly used: number } | undefined {
  const mark = unknownMark(place, at)
  if (mark > 0) return { answer: 'unknown', used: mark }
  const no = within(place, matchAt(NO, place.tokens, place.at + at), at)
  const isBare = ['no', 'nil', 'none', 'n', 'never'].includes(tokenAt(place, at)?.lower ?? '') && no?.used === 1
  const next = at + (no?.used ?? 0)
  const belongsElsewhere =
    isBare &&
    (tokenAt(place, next)?.kind === 'number' ||
      nameAt(place, next) !== undefined ||
      phraseAt(place, next) !== undefined ||
      !(isLinked || endsAt(place, next)))
  if (no !== undefined && !belongsElsewhere) return { answer: 'no', used: no.used }
  const yes = within(place, matchAt(YES, place.tokens, place.at + at), at)
  return yes === undefined ? undefined : { answer: 'yes', used: yes.used }
}

/** What is said after a name: an answer of its own, yes, no, unknown, or nothing. */
export function after(place: Place, finding: Finding, start: number, used: number): Reading | undefined {
  const table = ANSWERS.get(finding)
  const link = linked(place, used)
  for (const skip of link === 0 ? [0] : [link, 0]) {
    const at = used + skip
    const own = table === undefined ? undefined : within(place, matchAt(table, place.tokens, place.at + at), at)
    const said = yesOrNo(place, at, skip > 0)
    if (own !== undefined && own.used >= (said?.used ?? 0)) return found(finding, toValue(own.value), at + own.used)
    if (said?.answer === 'unknown') return unknown(finding, at + said.used)
    if (said?.answer === 'no') {
      if (finding.absent !== undefined) return found(finding, finding.absent, at + said.used)
      return ruledOut(finding, textOf(place, start, at + said.used), at + said.used)
    }
    if (said?.answer === 'yes' && finding.present !== undefined) return found(finding, finding.present, at + said.used)
  }
  const mark = tokenAt(place, used)
  // A lone dash may mean "negative" or "not looked at".
  return mark?.text === '-' && endsAt(place, used + 1) ? doubtful(finding, textOf(place, start, used + 1), used + 1) : undefined
}

/** A phrase with what is said after it: "lattice: no" is not lattice. */
export function phraseWithAnswer(place: Place, finding: Finding, answer: string, start: number, used: number): Reading {
  const link = linked(place, used)
  for (const skip of link === 0 ? [0] : [link, 0]) {
    const said = yesOrNo(place, used + skip, skip > 0)
    const end = used + skip + (said?.used ?? 0)
    if (said?.answer === 'yes') return found(finding, toValue(answer), end)
    if (said?.answer === 'unknown') return unknown(finding, end)
    if (said?.answer === 'no') return ruledOut(finding, textOf(place, start, end), end)
  }
  return found(finding, toValue(answer), used)
}
