import { type Estimate, meanOf, standardDeviation } from './statistics.js'
import { studentT95 } from './student-t.js'

export interface PlaneFit {
  readonly intercept: Estimate
  readonly alongX: Estimate
  readonly alongZ: Estimate
  /** Standard deviation of what the plane leaves unexplained, with n - 3. */
  readonly residual: number
  readonly spreadX: number
  readonly spreadZ: number
}

/** Share of the spread of one quantity that the other must leave it; below, the two cannot be told apart. */
const LEAST_OWN = 1e-6

/**
 * The plane y = intercept + alongX x + alongZ z of least squares, each coefficient with its 95 % interval by Student's t.
 * Undefined for fewer than four points, or where x and z lie on one line.
 * Source: ordinary least squares about the means (Gauss CF, 1823).
 */
export function planeThrough(
  points: readonly { readonly x: number; readonly z: number; readonly y: number }[],
): PlaneFit | undefined {
  if (points.length < 4) return undefined
  const [x, z, y] = [points.map((one) => one.x), points.map((one) => one.z), points.map((one) => one.y)]
  const [meanX, meanZ, meanY] = [meanOf(x), meanOf(z), meanOf(y)]
  let [xx, zz, xz, xy, zy] = [0, 0, 0, 0, 0]
  for (const one of points) {
    const [dx, dz, dy] = [one.x - meanX, one.z - meanZ, one.y - meanY]
    xx += dx * dx
    zz += dz * dz
    xz += dx * dz
    xy += dx * dy
    zy += dz * dy
  }
  const determinant = xx * zz - xz * xz
  if (!(determinant > LEAST_OWN * xx * zz)) return undefined
  const slopeX = (xy * zz - zy * xz) / determinant
  const slopeZ = (zy * xx - xy * xz) / determinant
  const start = meanY - slopeX * meanX - slopeZ * meanZ
  const left = points.reduce((sum, one) => {
    const residual = one.y - start - slopeX * one.x - slopeZ * one.z
    return sum + residual * residual
  }, 0)
  const residual = Math.sqrt(left / (points.length - 3))
  const reach = studentT95(points.length - 3)
  const estimate = (value: number, variance: number): Estimate => {
    const half = reach * residual * Math.sqrt(variance)
    return { value, low: value - half, high: value + half }
  }
  const ofStart = 1 / points.length + (meanX * meanX * zz - 2 * meanX * meanZ * xz + meanZ * meanZ * xx) / determinant
  return {
    intercept: estimate(start, ofStart),
    alongX: estimate(slopeX, zz / determinant),
    alongZ: estimate(slopeZ, xx / determinant),
    residual,
    spreadX: standardDeviation(x),
    spreadZ: standardDeviation(z),
  }
}
