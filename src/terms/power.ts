const MINUS = '\u2212'

/**
 * A signed dioptre value as a reader must see it: the sign is never dropped, zero is written plain.
 * @param value dioptres
 * @param decimals digits after the point
 */
export function signed(value: number, decimals: number): string {
  const digits = Math.abs(value).toFixed(decimals)
  if (Number(digits) === 0) return digits
  return `${value < 0 ? MINUS : '+'}${digits}`
}

/** A lens power in dioptres with its sign, one decimal unless the step needs two: "+9.0 D", "−3.25 D". */
export function lensPower(powerD: number): string {
  const tenths = Math.round(powerD * 100) % 10 === 0 ? 1 : 2
  return `${signed(powerD, tenths)} D`
}

/** A refraction in dioptres with its sign, two decimals: "−1.75 D". */
export const refraction = (value: number): string => `${signed(value, 2)} D`
