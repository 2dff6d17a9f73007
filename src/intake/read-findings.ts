import type { Finding } from './finding.js'
import {
  after,
  doubtful,
  found,
  inThePast,
  linked,
  notNever,
  openChoice,
  phraseWithAnswer,
  ruledOut,
  textOf,
} from './finding-answers.js'
import { DOUBTS, NEGATIONS, NOT_NOW, nameAt, PAST_AFTER, PAST_BEFORE, phraseAt, within } from './finding-tables.js'
import { matchAt } from './phrases.js'
import { type Fact, type Fault, type Place, type Reader, type Reading, startsAt, tokenAt } from './reading.js'

const TIMES = new Set(['od', 'bd', 'om', 'on', 'nocte', 'daily', 'mane', 'tds', 'mr'])
const MASSES = new Set(['mg', 'mcg', 'microgram', 'g', 'units'])

/** Doses and times after a drug, so that "od" there is not taken for an eye. */
function dose(place: Place, offset: number): number {
  let used = 0
  for (let turn = 0; turn < 4; turn += 1) {
    const token = tokenAt(place, offset + used)
    if (token === undefined) return used
    if (token.kind === 'number' && MASSES.has(tokenAt(place, offset + used + 1)?.lower ?? '')) used += 2
    // In small letters "od" after a drug is once a day even without a dose; "OD" then is an eye.
    else if (TIMES.has(used > 0 ? token.lower : token.text) && token.lower !== 'on') used += 1
    else return used
  }
  return used
}

/** "stopped 2019", "stopped in 2019": the year says nothing that the plan uses, and is not left over as unread. */
function sinceYear(place: Place, offset: number): number {
  const joined = ['in', 'since'].includes(tokenAt(place, offset)?.lower ?? '') ? 1 : 0
  const year = tokenAt(place, offset + joined)
  return year?.kind === 'number' && /^(19|20)\d\d$/.test(year.text) ? joined + 1 : 0
}

/** Findings joined to a negated one: "no PXF or phacodonesis". A comma ends the negation. */
function negated(place: Place, start: number, negation: string): Reading | undefined {
  let used = start
  const facts: Fact[] = []
  const faults: Fault[] = []
  for (;;) {
    const phrase = phraseAt(place, used)
    const name = nameAt(place, used)
    const isName = name !== undefined && (phrase === undefined || name.used >= phrase.used)
    const taken = isName ? name : phrase
    if (taken === undefined) return facts.length + faults.length === 0 ? undefined : { used, facts, faults }
    const words = `${negation} ${textOf(place, used, used + taken.used)}`
    used += taken.used
    const finding = isName ? name.value : phrase?.value.finding
    if (finding === undefined) return undefined
    const notNow = finding.field === 'alphaBlocker' && NOT_NOW.has(negation)
    const reading = notNow
      ? notNever(finding, words, used)
      : isName && finding.absent !== undefined
        ? found(finding, finding.absent, used)
        : ruledOut(finding, words, used)
    facts.push(...(reading.facts ?? []))
    faults.push(...(reading.faults ?? []))
    if (!['or', 'nor', '/', 'and', '&'].includes(tokenAt(place, used)?.lower ?? '')) return { used, facts, faults }
    const next = nameAt(place, used + 1)
    if (next === undefined && phraseAt(place, used + 1) === undefined) return { used, facts, faults }
    // "no PXF and zonules weak": the second has its own answer.
    if (next !== undefined && after(place, next.value, used + 1, used + 1 + next.used) !== undefined)
      return { used, facts, faults }
    used += 1
  }
}

const isDrug = ({ field }: Finding): boolean => field === 'alphaBlocker' || field === 'anticoagulant'

function named(place: Place): Reading | undefined {
  const phrase = phraseAt(place, 0)
  const name = nameAt(place, 0)
  const byPhrase = (): Reading | undefined => {
    if (phrase === undefined) return undefined
    const { finding, answer } = phrase.value
    if (!isDrug(finding)) return phraseWithAnswer(place, finding, answer, 0, phrase.used)
    // "on silodosin in the past": what follows the dose says whether it is still taken.
    const used = phrase.used + dose(place, phrase.used)
    const later = after(place, finding, 0, used)
    return later === undefined
      ? phraseWithAnswer(place, finding, answer, 0, used)
      : { ...later, used: later.used + sinceYear(place, later.used) }
  }
  if (name === undefined || (phrase !== undefined && phrase.used > name.used)) return byPhrase()
  const finding = name.value
  const said = after(place, finding, 0, name.used)
  if (said !== undefined) return { ...said, used: said.used + sinceYear(place, said.used) }
  const link = linked(place, name.used)
  const nested = phraseAt(place, name.used + link)
  if (nested !== undefined && nested.value.finding.field === finding.field) {
    return found(nested.value.finding, nested.value.answer, name.used + link + nested.used)
  }
  if (finding.present === undefined) return byPhrase()
  const used = name.used + (isDrug(finding) ? dose(place, name.used) : 0)
  const later = used > name.used ? after(place, finding, 0, used) : undefined
  return later === undefined
    ? found(finding, finding.present, used)
    : { ...later, used: later.used + sinceYear(place, later.used) }
}

/** "previous doxazosin" is past use; "previous retinal detachment" is what was, and says little of what is. */
function before(place: Place): Reading | undefined {
  const past = within(place, matchAt(PAST_BEFORE, place.tokens, place.at), 0)
  if (past === undefined || nameAt(place, 0) !== undefined) return undefined
  const name = nameAt(place, past.used)
  if (name !== undefined && isDrug(name.value)) {
    const used = past.used + name.used + dose(place, past.used + name.used)
    return name.value.field === 'alphaBlocker'
      ? found(name.value, 'past', used)
      : inThePast(name.value, textOf(place, 0, used), used)
  }
  // "h/o RD fellow": what the fellow eye had is what the plan asks for.
  if (name?.value.field.startsWith('fellow.') === true) return found(name.value, true, past.used + name.used)
  const phrase = phraseAt(place, past.used)
  // A repair that was done stays done.
  if (phrase?.value.finding.field === 'periphery' && phrase.value.answer === 'treated')
    return found(phrase.value.finding, 'treated', past.used + phrase.used)
  const isRetina = phrase?.value.finding.field === 'periphery' || phrase?.value.finding.field === 'macula'
  if (phrase === undefined || !isRetina || place.side === 'fellow') return undefined
  const used = past.used + phrase.used
  return inThePast(phrase.value.finding, textOf(place, 0, used), used)
}

const WHY = new Set(['for', 'after', 'following', 'post', 'since'])
const NOW = new Set(['normal', 'treated', 'lattice'])

/** "PPV for RD 2019", "CMO previously": why an eye was operated on, or what it had, is not what it has. */
function asItWas(place: Place, reading: Reading | undefined): Reading | undefined {
  const [one] = reading?.facts ?? []
  if (reading === undefined || one === undefined || (one.field !== 'periphery' && one.field !== 'macula')) return reading
  if (typeof one.value !== 'string' || NOW.has(one.value) || place.side === 'fellow') return reading
  const year = sinceYear(place, reading.used)
  const past = within(place, matchAt(PAST_AFTER, place.tokens, place.at + reading.used), reading.used)
  const why = WHY.has(tokenAt(place, -1)?.lower ?? '') && HAD_SURGERY.has(place.last ?? '')
  if (year === 0 && past === undefined && !why) return reading
  const used = reading.used + (past?.used ?? year)
  return inThePast({ field: one.field, label: one.label, names: [] }, textOf(place, why ? -1 : 0, used), used)
}
const HAD_SURGERY: ReadonlySet<string> = new Set(['previousVitrectomy', 'siliconeOil', 'intravitrealInjections'])

/** "chop or manual", "topical vs sub-Tenon": a choice that is still open is no plan. Both are kept as words. */
function choiceOfTwo(place: Place, reading: Reading): Reading | undefined {
  const one = reading.facts?.[0]
  if (one === undefined || (one.field !== 'technique' && one.field !== 'anaesthesia')) return undefined
  if (!['or', 'vs', 'versus'].includes(tokenAt(place, reading.used)?.lower ?? '')) return undefined
  const other = phraseAt(place, reading.used + 1) ?? nameAt(place, reading.used + 1)
  const used = reading.used + 1 + (other?.used ?? (tokenAt(place, reading.used + 1) === undefined ? 0 : 1))
  return openChoice({ field: one.field, label: one.label, names: [] }, textOf(place, 0, used), used)
}

const PLANNED: ReadonlySet<string> = new Set(['toricPlanned', 'multifocalPlanned', 'siliconeOpticPlanned', 'capsularRingPlanned'])

/** A finding from the tables: present, absent, unknown, doubtful or past. */
export const readFinding: Reader = (place) => {
  const whole = phraseAt(place, 0)
  const negation = within(place, matchAt(NEGATIONS, place.tokens, place.at), 0)
  if (negation !== undefined && (whole === undefined || whole.used <= negation.used)) {
    const hyphen = tokenAt(place, negation.used)
    const said = textOf(place, 0, negation.used).toLowerCase()
    const reading = negated(place, negation.used + (hyphen?.text === '-' && hyphen.gap === 0 ? 1 : 0), said)
    if (reading !== undefined) return reading
  }
  const doubt = within(place, matchAt(DOUBTS, place.tokens, place.at), 0)
  const doubted = doubt === undefined ? undefined : (nameAt(place, doubt.used) ?? phraseAt(place, doubt.used))
  if (doubt !== undefined && doubted !== undefined) {
    const used = doubt.used + doubted.used
    return doubtful('finding' in doubted.value ? doubted.value.finding : doubted.value, textOf(place, 0, used), used)
  }
  const past = before(place)
  if (past !== undefined) return past
  const reading = asItWas(place, named(place))
  const choice = reading === undefined ? undefined : choiceOfTwo(place, reading)
  if (choice !== undefined) return choice
  // What lies in the fellow eye is not planned for this one; the words are kept.
  if (place.side === 'fellow' && reading?.facts?.some(({ field }) => PLANNED.has(field)) === true) return undefined
  return reading === undefined || !afterNegatedComma(place) ? reading : { ...reading, facts: (reading.facts ?? []).map(withNote) }
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
    // "NO 5" is a grade of the nucleus
    const isGrade = word.lower === 'no' && tokenAt(place, 1 - back)?.kind === 'number'
    if (!isGrade && ['no', 'denies', 'without'].includes(word.lower)) return true
  }
  return false
}
