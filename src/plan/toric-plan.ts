import type { Case } from '../case/case.js'
import type { AstigmatismAt } from '../optics/astigmatism.js'
import { sumOf } from '../optics/astigmatism.js'
import { BARE_FORMULAS } from '../optics/bare-formulas.js'
import { posteriorCorneaModels, totalByRatio, totalByRegression, totalByScaling } from '../optics/posterior-cornea.js'
import { inducedByIncision, lensPlaneCylinder, residualWith, shareLeftByRotation } from '../optics/toric.js'
import { computed, type Outcome } from '../terms/outcome.js'
import type { Source } from '../terms/source.js'
import { type Dioptres, degrees, dioptres } from '../terms/units.js'
import type { EyeForLens } from './formula-rows.js'
import { type LensAnswer, middleRow } from './lens-answer.js'
import type { Plan } from './plan.js'

type Toric = NonNullable<Plan['lens']['toric']>

/** From this difference of the keratometries a toric lens is talked about, dioptres: common practice, no source. */
const SPOKEN_OF_FROM_D = 1.5
const ROTATIONS = [5, 10, 30] as const

const MERIDIONAL: Source = {
  cite: 'meridional analysis, Fam HB, Lim KL. J Cataract Refract Surg 2007;33:2072-2076 (its steps, not its numbers)',
  year: 2007,
  sureness: 'read',
}
const EQUIVALENT = 'The recommended power is the spherical equivalent of the toric lens.'
const UNOPERATED = 'For corneas that are regular and were never operated on: compare with tomography of both surfaces.'

const plain = ({ magnitude, meridian }: AstigmatismAt): NonNullable<Toric['keratometric']> => ({
  magnitudeD: magnitude,
  meridianDeg: meridian,
})

function missingFor(known: Case): string[] {
  const { flatD, steepD, steepAxisDeg } = known.keratometry?.value ?? {}
  return [
    ...(flatD === undefined || steepD === undefined ? ['flat and steep keratometry: only the mean was stated'] : []),
    ...(steepAxisDeg === undefined ? ['the meridian of the steep keratometry'] : []),
    ...(known.incisionMeridianDeg === undefined || known.inducedAstigmatismD === undefined
      ? ['where the incision will be and what it is known to induce ("incision at 110", "SIA 0.4"): left out of the sum']
      : []),
  ]
}

function because(known: Case): string | undefined {
  const { flatD, steepD } = known.keratometry?.value ?? {}
  if (known.toricPlanned?.value === true) return 'a toric lens is planned'
  if (flatD === undefined || steepD === undefined || steepD - flatD < SPOKEN_OF_FROM_D) return undefined
  return `the keratometries differ by ${(steepD - flatD).toFixed(2)} D (from ${SPOKEN_OF_FROM_D} D a toric lens is talked about: common practice, no source)`
}

/** What a toric lens would have to correct, when one is planned or the cornea calls for one. */
export function toricOf(known: Case, eye: EyeForLens, answer: LensAnswer, powerD: number | undefined): Toric | undefined {
  const why = because(known)
  if (why === undefined) return undefined
  const { flatD, steepD, steepAxisDeg } = known.keratometry?.value ?? {}
  const rotation = ROTATIONS.flatMap((turned) => {
    const left = shareLeftByRotation(degrees(turned))
    return left.kind === 'computed' ? [{ degrees: turned, shareLeft: left.value }] : []
  })
  const shared = { because: why, rotation, missing: missingFor(known), caveats: [UNOPERATED, EQUIVALENT] }
  if (flatD === undefined || steepD === undefined || steepAxisDeg === undefined || eye.operatedCornea) {
    return { ...shared, estimates: [] }
  }
  const front: AstigmatismAt = { magnitude: dioptres(steepD - flatD), meridian: degrees(steepAxisDeg % 180) }
  const induced = inducedBy(known)
  const cylinderFor = meridionalIn(eye, answer, powerD)
  const estimates = estimatesOf(front, induced, cylinderFor)
  const lens = lensFor(answer, estimates[0])
  return {
    ...shared,
    keratometric: plain(front),
    ...(induced ? { induced: plain(induced) } : {}),
    estimates,
    ...(lens ? { lens } : {}),
    caveats: [
      UNOPERATED,
      EQUIVALENT,
      ...(induced ? ['In one series adding an induced astigmatism measured on the front alone made prediction worse.'] : []),
    ],
    working: {
      inputs: [
        { name: 'keratometric astigmatism', value: front.magnitude, unit: 'D' },
        { name: 'steep meridian', value: front.meridian, unit: '°' },
        ...(induced
          ? [
              { name: 'induced by the incision', value: induced.magnitude, unit: 'D' },
              { name: 'at', value: induced.meridian, unit: '°' },
            ]
          : []),
      ],
      steps: estimates.flatMap(({ model, total, lensCylinderD }) => [
        ...(total ? [{ name: `total corneal astigmatism, ${model}`, value: total.magnitudeD, unit: 'D' }] : []),
        ...(lensCylinderD === undefined ? [] : [{ name: `cylinder at the lens, ${model}`, value: lensCylinderD, unit: 'D' }]),
      ]),
      equation: 'cylinder at the lens = power for the flat meridian - power for the steep meridian, same lens position',
      source: MERIDIONAL,
    },
  }
}

function inducedBy(known: Case): AstigmatismAt | undefined {
  const meridian = known.incisionMeridianDeg?.value
  const flattening = known.inducedAstigmatismD?.value
  if (meridian === undefined || flattening === undefined) return undefined
  return inducedByIncision(degrees(meridian), dioptres(flattening))
}

type CylinderFor = (total: Dioptres) => Outcome<Dioptres> | undefined

/** Cylinder at the lens plane by the row that the recommendation is nearest to. */
function meridionalIn(eye: EyeForLens, answer: LensAnswer, powerD: number | undefined): CylinderFor {
  const row = powerD === undefined ? answer.basis.rows[0] : middleRow(answer, powerD)
  const evaluation = row?.evaluation
  if (!row || !evaluation) return () => undefined
  const { cornealPower } = BARE_FORMULAS[row.formula](answer.source.constants)
  return (total) =>
    lensPlaneCylinder(
      evaluation.opticalLength,
      cornealPower(dioptres(eye.keratometry - total / 2)),
      cornealPower(dioptres(eye.keratometry + total / 2)),
      evaluation.effectiveLensPosition,
      eye.target,
    )
}

function estimatesOf(front: AstigmatismAt, induced: AstigmatismAt | undefined, cylinderFor: CylinderFor): Toric['estimates'] {
  const uncorrected = cylinderFor(front.magnitude)
  const lensCylinder = uncorrected?.kind === 'computed' ? uncorrected.value : front.magnitude
  const ways = [totalByRegression(front), totalByRatio(front), totalByScaling(front, lensCylinder)]
  return posteriorCorneaModels.map(({ model, population, years, source }, place) => {
    const outcome = ways[place] ?? computed(front)
    if (outcome.kind !== 'computed') return { model, population, years, outOfRange: outcome.reason, source }
    const total = induced ? sumOf([outcome.value, induced]) : outcome.value
    const cylinder = cylinderFor(total.magnitude)
    return {
      model,
      population,
      years,
      total: plain(total),
      ...(cylinder?.kind === 'computed' ? { lensCylinderD: cylinder.value } : {}),
      ...(cylinder && cylinder.kind !== 'computed' ? { outOfRange: cylinder.reason } : {}),
      source,
    }
  })
}

/** The strongest cylinder that is made and does not turn the astigmatism round; absent when none is made or the weakest is too strong. */
function lensFor({ source }: LensAnswer, estimate: Toric['estimates'][number] | undefined): Toric['lens'] {
  const made = source.lens?.toricCylindersD
  const { total, lensCylinderD } = estimate ?? {}
  if (!made || !total || lensCylinderD === undefined || lensCylinderD <= 0) return undefined
  const cylinderD = Math.max(...made.filter((cylinder) => cylinder <= lensCylinderD))
  if (!Number.isFinite(cylinderD)) return undefined
  const corrects = dioptres((cylinderD * total.magnitudeD) / lensCylinderD)
  const meridian = degrees(total.meridianDeg)
  const leaves = plain(residualWith({ magnitude: dioptres(total.magnitudeD), meridian }, corrects, meridian))
  return {
    cylinderD,
    meridianDeg: total.meridianDeg,
    leaves,
    words: `Toric step +${cylinderD.toFixed(2)} D at ${Math.round(total.meridianDeg)}° would leave ${leaves.magnitudeD.toFixed(2)} D of corneal astigmatism, by the ${estimate?.model}`,
  }
}
