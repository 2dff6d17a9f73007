import type { Quantity } from '../terms/quantities.js'
import { probablyMeant, short, signOf, valuesOf } from './numbers.js'
import { type Fact, type Fault, type Field, fact } from './reading.js'
import type { Token } from './tokens.js'
import { conversion, type WrittenUnit } from './units-written.js'

const withUnit = (value: number, quantity: Quantity): string =>
  `${short(value, quantity.decimals + 1)}${quantity.unit === '' ? '' : ` ${quantity.unit}`}`

/** A value as shown back: its usual number of decimals, more where more were given. */
export function shownValue(value: number, quantity: Quantity): string {
  const usual = value.toFixed(quantity.decimals)
  const digits = Number(usual) === value ? usual : String(Number(value.toFixed(4)))
  return quantity.unit === '' ? digits : `${digits} ${quantity.unit}`
}

export interface JudgedValue {
  readonly fact?: Fact
  readonly fault?: Fault
}

function unusualIn(value: number, { unusualAbove, unusualBelow }: Quantity): string | undefined {
  if (unusualAbove !== undefined && value > unusualAbove) return `above ${unusualAbove}`
  return unusualBelow !== undefined && value < unusualBelow ? `below ${unusualBelow}` : undefined
}

const refused = (kind: Fault['kind'], field: Field, message: string, instead: string): JudgedValue => ({
  fault: { kind, field, blocks: true, message, instead },
})

/**
 * A number read as a value of the quantity: unit converted, range checked, nothing guessed.
 * @param unit the unit as written, or undefined where none was
 */
export function judgeValue(field: Field, quantity: Quantity, token: Token, unit: WrittenUnit | undefined): JudgedValue {
  const { name, low, high } = quantity
  const range = `${low} to ${high}${quantity.unit === '' ? '' : ` ${quantity.unit}`}`
  if (signOf(token) !== undefined) {
    return refused(
      'sign',
      field,
      `${name} ${token.text} has a sign; it has none.`,
      `${quantity.short} without a sign, such as ${quantity.example}`,
    )
  }
  let factor = 1
  if (unit !== undefined) {
    const known = conversion(unit, quantity.unit)
    if (known === undefined)
      return refused('unit', field, `${name} is measured in ${quantity.unit || 'no unit'}, not in ${unit}.`, quantity.example)
    factor = known
  }
  const given = valuesOf(token)
  const scaled = given.map((value) => Number((value * factor).toPrecision(10)))
  const fitting = scaled.filter((value) => value >= low && value <= high)
  const [value] = fitting
  if (fitting.length > 1 && fitting[0] !== fitting[1]) {
    return refused(
      'ambiguous',
      field,
      `${name} ${token.text} can be read as ${fitting.map((one) => withUnit(one, quantity)).join(' or ')}.`,
      `the number with a decimal point, such as ${quantity.example}`,
    )
  }
  if (value === undefined) return missed(field, quantity, token, scaled, range, unit)
  const assumptions: string[] = []
  if (unit === undefined && quantity.unit !== '') assumptions.push(`${quantity.unit} assumed`)
  else if (unit !== undefined && factor !== 1) assumptions.push(`converted from ${unit}`)
  if (given.length > 1 && scaled[0] !== value) assumptions.push(`${token.text} read as ${short(value, 4)}`)
  const read = fact(
    field,
    name,
    value,
    shownValue(value, quantity),
    assumptions.length === 0 ? undefined : assumptions.join('; '),
  )
  const unusual = unusualIn(value, quantity)
  if (unusual === undefined) return { fact: read }
  return {
    fact: read,
    fault: {
      kind: 'out-of-range',
      field,
      blocks: false,
      message: `${name} ${shownValue(value, quantity)} is unusual (${unusual} ${quantity.unit}). It is kept: confirm it by a second measurement.`,
      instead: `nothing if it is right; otherwise ${quantity.example}`,
    },
  }
}

function missed(
  field: Field,
  quantity: Quantity,
  token: Token,
  scaled: readonly number[],
  range: string,
  unit: WrittenUnit | undefined,
): JudgedValue {
  // A corneal thickness without a unit is often in millimetres; that is no slip of the keyboard.
  if (quantity.unit === 'µm' && unit === undefined) {
    const inMicrometres = scaled.map((value) => value * 1000).find((value) => value >= quantity.low && value <= quantity.high)
    if (inMicrometres !== undefined) {
      const value = Number(inMicrometres.toFixed(3))
      return { fact: fact(field, quantity.name, value, shownValue(value, quantity), `${token.text} read as mm`) }
    }
  }
  const meant = scaled.map((value) => probablyMeant(value, quantity.low, quantity.high)).find((value) => value !== undefined)
  const given = `${quantity.name} ${token.text}${unit === undefined ? (quantity.unit === '' ? '' : ` ${quantity.unit}`) : ` ${unit}`}`
  const guess = meant === undefined ? '' : ` Did you mean ${withUnit(meant, quantity)}?`
  const instead =
    meant === undefined ? quantity.example : `${quantity.short} ${withUnit(meant, quantity)}, if that is what was measured`
  return refused('out-of-range', field, `${given} is outside ${range}.${guess}`, instead)
}
