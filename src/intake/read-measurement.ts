import { QUANTITIES, type Quantity, type QuantityName } from '../terms/quantities.js'
import { METHOD_FORMS, methodFact } from './axial-length-methods.js'
import { brokenLength, isBroken, partedDecimal } from './broken-number.js'
import { bridge, unknownMark } from './marks.js'
import { inThousands, spreadAfter } from './number-with-more.js'
import { valuesOf } from './numbers.js'
import { matchAt, phrases } from './phrases.js'
import { judgeValue } from './quantity-value.js'
import { meridianAfter } from './read-alone.js'
import { type Fact, type Field, fact, type Place, type Reader, type Reading, tokenAt } from './reading.js'
import type { Token } from './tokens.js'
import { unitAt } from './units-written.js'

const names = Object.keys(QUANTITIES) as QuantityName[]
const quantityOf = (name: QuantityName): Quantity => QUANTITIES[name]
export const QUANTITY_FORMS = phrases(names.flatMap((name) => quantityOf(name).written.map((form) => [form, name] as const)))
export const QUANTITY_FORMS_AFTER = phrases(
  names.flatMap((name) => (quantityOf(name).writtenAfter ?? []).map((form) => [form, name] as const)),
)

export const ORIGIN_FORMS = phrases([
  ...['from epithelium', 'from the epithelium', 'epithelium', 'epithelial', 'from epi', 'epi'].map(
    (form) => [form, 'epithelium'] as const,
  ),
  ...['from endothelium', 'from the endothelium', 'endothelium', 'endothelial', 'from endo', 'endo'].map(
    (form) => [form, 'endothelium'] as const,
  ),
])
export const DILATED_FORMS = phrases(
  [
    'dilated',
    'dilates',
    'dilates to',
    'max',
    'maximum',
    'size',
    'well dilated',
    'poorly',
    'dilates poorly',
    'dilates poorly to',
    'poorly dilated',
    'small',
    'well',
    'dilates well',
  ].map((form) => [form, true] as const),
)

interface Qualified {
  readonly used: number
  readonly facts: readonly Fact[]
  readonly origin?: 'epithelium' | 'endothelium'
}

const DENIED = new Set(
  'wont won cant can cannot couldn didn wouldn would could did failed fails not impossible unable tried'.split(' '),
)
/** "optical won't go through" is not how the eye was measured. */
const isDenied = (next: Token | undefined): boolean => DENIED.has(next?.lower ?? '')

/** Words between a name and its value, or after the value, that say how it was measured. */
function qualifier(place: Place, offset: number, name: QuantityName): Qualified | undefined {
  const bracketed = tokenAt(place, offset)?.text === '('
  const at = place.at + offset + (bracketed ? 1 : 0)
  const closed = (used: number): number => {
    if (!bracketed) return used
    return place.tokens[at + used]?.text === ')' ? used + 2 : 0
  }
  if (name === 'axialLengthMm') {
    const by = ['by', 'on', 'via', 'with'].includes(place.tokens[at]?.lower ?? '') ? 1 : 0
    const method = matchAt(METHOD_FORMS, place.tokens, at + by)
    const used = method === undefined ? 0 : closed(by + method.used)
    if (method !== undefined && used > 0 && !isDenied(place.tokens[at + by + method.used]))
      return { used, facts: [methodFact(method.value)] }
  }
  if (name === 'anteriorChamberDepthMm') {
    const origin = matchAt(ORIGIN_FORMS, place.tokens, at)
    const used = origin === undefined ? 0 : closed(origin.used)
    if (origin !== undefined && used > 0) return { used, facts: [], origin: origin.value }
  }
  if (name === 'pupilDilatedMm') {
    const dilated = matchAt(DILATED_FORMS, place.tokens, at)
    const used = dilated === undefined ? 0 : closed(dilated.used)
    if (used > 0) return { used, facts: [] }
  }
  return undefined
}

const noValue = (name: QuantityName, used: number): Reading => ({
  used,
  faults: [
    {
      kind: 'not-understood',
      field: name,
      blocks: false,
      message: `${quantityOf(name).name} has no value here.`,
      instead: `${quantityOf(name).example}, or leave it out if it is not known`,
    },
  ],
})

const DEVIATIONS: ReadonlySet<string> = new Set(['axialLengthSdMm', 'axialLengthSnr'])
const OTHER_LENGTHS: ReadonlySet<string> = new Set([
  'anteriorChamberDepthMm',
  'aqueousDepthMm',
  'lensThicknessMm',
  'centralCornealThicknessUm',
  'whiteToWhiteMm',
  'keratometry',
])

/** "ACD 3.41 (SD 0.02)": the deviation of another measurement is not that of the axial length. */
function deviationOfAnother(place: Place, named: number, name: QuantityName): Reading {
  let used = named + bridge(place, named)
  if (tokenAt(place, used)?.kind === 'number') used += 1 + (unitAt(place, used + 1)?.used ?? 0)
  const message = `this ${quantityOf(name).short} stands after another measurement than the axial length. It is kept as written.`
  const instead = `${quantityOf(name).example} straight after the axial length`
  return { used, faults: [{ kind: 'not-understood', field: name, blocks: false, message, instead }] }
}

/** Lengths that are always given to the hundredth, so that whole millimetres before a comma want a second look. */
const HUNDREDTHS: ReadonlySet<string> = new Set(['axialLengthMm', 'anteriorChamberDepthMm', 'aqueousDepthMm', 'lensThicknessMm'])

/** A name from the table of quantities with its value: "AL 29.84 mm", "CCT=0.541", "LT n/a", "AL (optical) 29,84". */
export const readMeasurement: Reader = (place) => {
  const match = matchAt(QUANTITY_FORMS, place.tokens, place.at)
  if (match === undefined || place.at + match.used > place.end) return undefined
  const name = match.value
  if (DEVIATIONS.has(name) && place.last !== undefined && OTHER_LENGTHS.has(place.last))
    return deviationOfAnother(place, match.used, name)
  const isOnlyAWord = [
    'cells',
    'wound',
    'measured',
    'biometry',
    'infusion',
    'cases',
    'specular',
    'axial',
    'tension',
    'bottle',
    'injections',
    'phacos',
    'anterior',
    'dilates',
  ].includes(tokenAt(place, 0)?.lower ?? '')
  let used = match.used
  let unit = unitAt(place, used)
  used += unit?.used ?? 0
  const facts: Fact[] = []
  let origin: 'epithelium' | 'endothelium' | undefined
  for (let turn = 0; turn < 3; turn += 1) {
    used += bridge(place, used)
    if (name === 'intravitrealInjections' && tokenAt(place, used)?.lower === 'x') used += 1
    const before = qualifier(place, used, name)
    if (before !== undefined) {
      used += before.used
      facts.push(...before.facts)
      origin = before.origin ?? origin
    }
    const later = unit === undefined ? unitAt(place, used) : undefined
    if (later !== undefined) {
      unit = later
      used += later.used
    }
  }
  const token = tokenAt(place, used)
  const unknown = token?.kind === 'number' ? 0 : unknownMark(place, used)
  if (unknown > 0) {
    const after = unitAt(place, used + unknown)
    return {
      used: used + unknown + (after?.used ?? 0),
      facts: [fact(fieldOf(name, origin), quantityOf(name).name, undefined, 'not known'), ...facts],
    }
  }
  if (token === undefined || token.kind !== 'number') return isOnlyAWord ? undefined : { ...noValue(name, match.used) }
  const decimal = HUNDREDTHS.has(name) ? partedDecimal(place, used) : 0
  const parted = matchAt(QUANTITY_FORMS_AFTER, place.tokens, place.at + used + decimal) === undefined ? decimal : 0
  if (parted > 0 || isBroken(place, used)) {
    const message = `the number after ${quantityOf(name).short} cannot be read as one number.`
    const fault = { kind: 'not-understood', field: name, blocks: true, message, instead: quantityOf(name).example } as const
    return { used: used + (parted > 0 ? parted : brokenLength(place, used)), faults: [fault] }
  }
  const given = inThousands(place, used, name) ?? token
  used += given === token ? 1 : 2
  const after = unitAt(place, used)
  if (after !== undefined) {
    unit = after
    used += after.used
  }
  for (let turn = 0; turn < 2; turn += 1) {
    const said = qualifier(place, used, name)
    if (said === undefined) break
    used += said.used
    facts.push(...said.facts)
    origin = said.origin ?? origin
  }
  const second = secondValue(place, used, quantityOf(name))
  if (second > 0) {
    const message = `two values stand after ${quantityOf(name).short}; it is not said which is meant or for which eye.`
    const fault = {
      kind: 'ambiguous',
      field: name,
      blocks: true,
      message,
      instead: `${quantityOf(name).example}, one value for this eye`,
    } as const
    return { used: used + second, faults: [fault] }
  }
  const isSize = name === 'incisionMeridianDeg' && (unit?.unit === 'mm' || (unit === undefined && /[.,]/.test(token.text)))
  const field = isSize ? 'incisionMm' : fieldOf(name, origin)
  const quantity = isSize ? QUANTITIES.incisionMm : field === 'aqueousDepthMm' ? QUANTITIES.aqueousDepthMm : quantityOf(name)
  const { fact: read, fault } = judgeValue(field, quantity, given, unit?.unit)
  const spread = name === 'axialLengthMm' && read !== undefined ? spreadAfter(place, used) : undefined
  used += spread?.used ?? 0
  facts.push(...(spread?.facts ?? []))
  const meridian = field === 'incisionMm' && read !== undefined ? meridianAfter(place, used) : undefined
  used += meridian?.used ?? 0
  facts.push(...(meridian?.facts ?? []))
  const from = origin === 'epithelium' ? [fact('anteriorChamberDepthFrom', 'chamber depth measured from', origin, origin)] : []
  return {
    used,
    facts: [...(read === undefined ? [] : [read]), ...(read === undefined ? [] : from), ...facts],
    ...(fault === undefined ? {} : { faults: [fault] }),
  }
}

const BETWEEN_VALUES = new Set(['/', 'to', 'or', 'vs', 'maybe', 'perhaps', 'possibly', 'even'])

/** Another value of the same quantity right after the first, as in "AL 29.60 / 28.96": how many tokens it takes, or 0. */
function secondValue(place: Place, offset: number, { low, high }: Quantity): number {
  const joint = tokenAt(place, offset)
  const isDash = joint?.text === '-' && joint.gap === 0 && tokenAt(place, offset + 1)?.gap === 0
  const joined = isDash || BETWEEN_VALUES.has(joint?.lower ?? '') ? 1 : 0
  const token = tokenAt(place, offset + joined)
  if (token?.kind !== 'number' || /^[+-]/.test(token.text) || (joined === 0 && !/[.,]/.test(token.text))) return 0
  if (!valuesOf(token).some((value) => value >= low && value <= high)) return 0
  const unit = unitAt(place, offset + joined + 1)
  const length = joined + 1 + (unit?.used ?? 0)
  // "LT 4.6 5.5 mm pupil": the number belongs to the name after it.
  if (matchAt(QUANTITY_FORMS_AFTER, place.tokens, place.at + offset + length) !== undefined) return 0
  const next = tokenAt(place, offset + length)
  return unit === undefined && next !== undefined && next.gap === 0 && next.kind === 'word' ? 0 : length
}

const fieldOf = (name: QuantityName, origin: 'epithelium' | 'endothelium' | undefined): Field =>
  name === 'anteriorChamberDepthMm' && origin === 'endothelium' ? 'aqueousDepthMm' : name

/** A value before its name: "2.4 mm incision", "120 cases", "3 previous anti-VEGF injections". */
export const readMeasurementAfter: Reader = (place) => {
  const token = tokenAt(place, 0)
  if (token?.kind !== 'number') return undefined
  const unit = unitAt(place, 1)
  const times = tokenAt(place, 1)?.lower === 'x' ? [1] : []
  for (const skipped of [...(unit === undefined ? [] : [unit.used]), ...times, 0]) {
    const match = matchAt(QUANTITY_FORMS_AFTER, place.tokens, place.at + 1 + skipped)
    if (match === undefined || place.at + 1 + skipped + match.used > place.end) continue
    // "3x anti-VEGF" is a count; "x" beside anything else parts two values.
    if (skipped > 0 && unit === undefined && match.value !== 'intravitrealInjections') continue
    const { fact: read, fault } = judgeValue(match.value, quantityOf(match.value), token, skipped === 0 ? undefined : unit?.unit)
    const end = 1 + skipped + match.used
    const meridian = match.value === 'incisionMm' && read !== undefined ? meridianAfter(place, end) : undefined
    return {
      used: end + (meridian?.used ?? 0),
      ...(read === undefined ? {} : { facts: [read, ...(meridian?.facts ?? [])] }),
      ...(fault === undefined ? {} : { faults: [fault] }),
    }
  }
  const byUnit =
    unit?.unit === 'kg'
      ? 'weightKg'
      : unit?.unit === 'mmHg' && place.last === 'activeInfusion'
        ? 'infusionPressureMmHg'
        : undefined
  if (unit !== undefined && byUnit !== undefined) {
    const { fact: read, fault } = judgeValue(byUnit, quantityOf(byUnit), token, unit.unit)
    return {
      used: 1 + unit.used,
      ...(read === undefined ? {} : { facts: [read] }),
      ...(fault === undefined ? {} : { faults: [fault] }),
    }
  }
  return undefined
}

/** A method on its own: after a length, or named in full. */
export const readMethod: Reader = (place) => {
  const match = matchAt(METHOD_FORMS, place.tokens, place.at)
  if (match === undefined || place.at + match.used > place.end) return undefined
  if (isDenied(tokenAt(place, match.used))) return undefined
  const belongs = place.last === 'axialLengthMm' || place.last === 'axialLengthSdMm' || place.last === 'axialLengthSnr'
  const next = matchAt(QUANTITY_FORMS, place.tokens, place.at + match.used)
  const plainly = match.used > 1 || ['immersion', 'applanation', 'optical'].includes(tokenAt(place, 0)?.lower ?? '')
  if (!belongs && !plainly && next?.value !== 'axialLengthMm') return undefined
  return { used: match.used, facts: [methodFact(match.value)] }
}
