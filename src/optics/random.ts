/** Draws numbers from 0 up to, not including, 1. */
export type Uniform = () => number

const TO_UNIT = 1 / 4294967296

/**
 * A seeded generator: the same seed gives the same numbers on every machine.
 *
 * - Source: Chris Doty-Humphrey's sfc32 (small fast counter, 32 bit), PractRand 2013; three words of state and a counter.
 *
 * @example
 * ```ts
 * seeded(1)() === seeded(1)() // => true
 * ```
 * @param seed any number; its low 32 bits count
 */
export function seeded(seed: number): Uniform {
  let a = seed | 0
  let b = 0x9e3779b9 | 0
  let c = 0x243f6a88 | 0
  let counter = 1
  const next = (): number => {
    const sum = (((a + b) | 0) + counter) | 0
    counter = (counter + 1) | 0
    a = b ^ (b >>> 9)
    b = (c + (c << 3)) | 0
    c = (c << 21) | (c >>> 11)
    c = (c + sum) | 0
    return (sum >>> 0) * TO_UNIT
  }
  // The first draws still show the seed.
  for (let drawn = 0; drawn < 15; drawn += 1) next()
  return next
}

/**
 * Draws from the standard normal distribution, two for every two uniform draws.
 *
 * - Source: Box GEP, Muller ME. Ann Math Statist 1958;29:610-611.
 *
 * @param uniform source of uniform draws
 */
export function normals(uniform: Uniform): () => number {
  let spare = Number.NaN
  return () => {
    if (!Number.isNaN(spare)) {
      const kept = spare
      spare = Number.NaN
      return kept
    }
    const radius = Math.sqrt(-2 * Math.log(1 - uniform()))
    const angle = 2 * Math.PI * uniform()
    spare = radius * Math.sin(angle)
    return radius * Math.cos(angle)
  }
}
