import { computed, type Outcome } from '../terms/outcome.js'
import type { PublishedModel } from '../terms/published-model.js'
import type { Source } from '../terms/source.js'
import { type Degrees, type Dioptres, degrees, dioptres } from '../terms/units.js'
import { type AstigmatismAt, fromDoubleAngle, meridianOf, sumOf } from './astigmatism.js'
import { coefficientsOf } from './lens-formula.js'
import { noAnswer } from './no-answer.js'

const RADIANS = Math.PI / 180

/** Steep meridian within this many degrees of vertical or horizontal; the usual convention, not one of the papers'. */
const NEAR = 30

export type Orientation = 'with-the-rule' | 'against-the-rule' | 'oblique'

/**
 * With the rule when the steep meridian is within 30 degrees of vertical, against it within 30 of horizontal.
 * @param steepMeridian degrees
 */
export function orientationOf(steepMeridian: Degrees): Orientation {
  const fromVertical = Math.abs(meridianOf(steepMeridian) - 90)
  if (fromVertical <= NEAR) return 'with-the-rule'
  return fromVertical >= 90 - NEAR ? 'against-the-rule' : 'oblique'
}

const source2016: Source = {
  cite: 'Abulafia A, Koch DD, Wang L, Hill WE, Assia EI, Franchina M, Barrett GD. New regression formula for toric intraocular lens calculations. J Cataract Refract Surg 2016;42:663-671',
  year: 2016,
  sureness: 'memory',
}
const X_OFFSET = 0.508
const X_SLOPE = 0.926
const Y_OFFSET = 0.009
const Y_SLOPE = 0.932

const source2015: Source = {
  cite: 'Eom Y et al. Am J Ophthalmol 2015:717-724 (abstract; 928 eyes)',
  year: 2015,
  sureness: 'read',
}
const RATIO: Readonly<Record<Orientation, { readonly slope: number; readonly offset: number }>> = {
  'with-the-rule': { slope: 0.15, offset: 0.22 },
  oblique: { slope: 0.05, offset: 0.27 },
  'against-the-rule': { slope: 0, offset: 0.27 },
}

const sourceGoggin: Source = { cite: 'Goggin M et al. J Refract Surg 2015;31(2) (abstract)', year: 2015, sureness: 'read' }
const GOGGIN_WITH = 0.75
const GOGGIN_AGAINST = 1.41
const GOGGIN_TO = 2

const tooGreat = (anterior: AstigmatismAt) =>
  anterior.magnitude >= 0 && anterior.magnitude <= 12
    ? undefined
    : noAnswer(
        'corneal astigmatism',
        anterior.magnitude,
        'D',
        `corneal astigmatism ${anterior.magnitude} D is outside 0 to 12 D`,
        0,
        12,
      )

/**
 * Total corneal astigmatism estimated from keratometry by regression.
 *
 * - Domain: corneas never operated on and regular. The regression already holds the mean effect of the back of the cornea:
 *   do not add another. Adding an induced astigmatism measured on the front alone made prediction worse in one series.
 * - Source: Abulafia A et al. J Cataract Refract Surg 2016;42:663-671. Erratum: none known.
 *
 * @example
 * ```ts
 * totalByRegression({ magnitude: dioptres(1), meridian: degrees(90) })
 * // => { kind: 'computed', value: { magnitude: 0.418097, meridian: 89.383275 } }
 * ```
 * @param anterior keratometric astigmatism, dioptres at the steep meridian
 */
export function totalByRegression(anterior: AstigmatismAt): Outcome<AstigmatismAt> {
  const outside = tooGreat(anterior)
  if (outside) return outside
  const doubled = 2 * anterior.meridian * RADIANS
  return computed(
    fromDoubleAngle(
      X_OFFSET + X_SLOPE * anterior.magnitude * Math.cos(doubled),
      Y_OFFSET + Y_SLOPE * anterior.magnitude * Math.sin(doubled),
    ),
  )
}

/**
 * Astigmatism of the back of the cornea estimated from keratometry: minus power at 90 degrees, as plus power at 180.
 *
 * - Domain: corneas never operated on and regular.
 * - Source: Eom Y et al. Am J Ophthalmol 2015:717-724; median residual error 0.30 D against 0.50 D for the front alone.
 *
 * @example
 * ```ts
 * posteriorByRatio({ magnitude: dioptres(2), meridian: degrees(90) })
 * // => { kind: 'computed', value: { magnitude: 0.52, meridian: 0 } }
 * ```
 * @param anterior keratometric astigmatism, dioptres at the steep meridian
 */
export function posteriorByRatio(anterior: AstigmatismAt): Outcome<AstigmatismAt> {
  const outside = tooGreat(anterior)
  if (outside) return outside
  const { slope, offset } = RATIO[orientationOf(anterior.meridian)]
  return computed({ magnitude: dioptres(slope * anterior.magnitude + offset), meridian: degrees(0) })
}

/**
 * Total corneal astigmatism by the ratio method: front plus back.
 * @param anterior keratometric astigmatism, dioptres at the steep meridian
 */
export function totalByRatio(anterior: AstigmatismAt): Outcome<AstigmatismAt> {
  const posterior = posteriorByRatio(anterior)
  return posterior.kind === 'computed' ? computed(sumOf([anterior, posterior.value])) : posterior
}

/**
 * Corneal astigmatism scaled by its orientation.
 *
 * - Domain: only where the lens cylinder would be 2 D or less, and not for oblique astigmatism.
 * - Source: Goggin M et al. J Refract Surg 2015;31(2).
 *
 * @param anterior keratometric astigmatism, dioptres at the steep meridian
 * @param lensCylinder the cylinder that the lens would have, dioptres at the lens plane
 */
export function totalByScaling(anterior: AstigmatismAt, lensCylinder: Dioptres): Outcome<AstigmatismAt> {
  const outside = tooGreat(anterior)
  if (outside) return outside
  if (!(lensCylinder <= GOGGIN_TO)) {
    const reason = `The scaling was published for lens cylinders to ${GOGGIN_TO} D; this lens would have ${lensCylinder.toFixed(2)} D.`
    return noAnswer('lens cylinder', lensCylinder, 'D', reason, 0, GOGGIN_TO)
  }
  const orientation = orientationOf(anterior.meridian)
  if (orientation === 'oblique') {
    const reason = 'The scaling was published for astigmatism with and against the rule, not for oblique.'
    return noAnswer('steep meridian', anterior.meridian, '°', reason)
  }
  const factor = orientation === 'with-the-rule' ? GOGGIN_WITH : GOGGIN_AGAINST
  return computed({ ...anterior, magnitude: dioptres(factor * anterior.magnitude) })
}

/** The three ways to allow for the back of the cornea, with their numbers. */
export const posteriorCorneaModels: readonly PublishedModel[] = [
  {
    id: 'posterior-cornea-regression-2016',
    about: 'total corneal astigmatism',
    model: 'regression of 2016',
    population: 'not recovered from the paper',
    years: 'before 2016',
    source: source2016,
    coefficients: coefficientsOf(source2016, [
      ['x, offset', X_OFFSET, 'D'],
      ['x, slope', X_SLOPE],
      ['y, offset', Y_OFFSET, 'D'],
      ['y, slope', Y_SLOPE],
    ]),
  },
  {
    id: 'posterior-cornea-ratio-2015',
    about: 'astigmatism of the back of the cornea',
    model: 'ratio method of 2015',
    population: '928 eyes',
    years: 'before 2015',
    source: source2015,
    coefficients: coefficientsOf(
      source2015,
      (Object.keys(RATIO) as Orientation[]).flatMap(
        (orientation) =>
          [
            [`${orientation}, slope`, RATIO[orientation].slope],
            [`${orientation}, offset`, RATIO[orientation].offset, 'D'],
          ] as const,
      ),
    ),
  },
  {
    id: 'posterior-cornea-scaling-2015',
    about: 'corneal astigmatism for a weak toric lens',
    model: 'scaling of 2015',
    population: 'not recovered from the abstract',
    years: 'before 2015',
    source: sourceGoggin,
    coefficients: coefficientsOf(sourceGoggin, [
      ['with the rule', GOGGIN_WITH],
      ['against the rule', GOGGIN_AGAINST],
      ['lens cylinder to', GOGGIN_TO, 'D'],
    ]),
  },
]
