import type { Case } from '../case/case.js'
import { evaluate } from '../optics/formulas.js'
import { aniseikonia, retinalImagePerDegree } from '../optics/magnification.js'
import { SECOND_EYE_SOURCE, secondEyeAim } from '../optics/second-eye.js'
import { lensPower, refraction, signed } from '../terms/power.js'
import type { Source } from '../terms/source.js'
import { dioptres, mm } from '../terms/units.js'
import type { EvaluatedRow, EyeForLens } from './formula-rows.js'
import { chosenFor, type LensAnswer, middleRow, withLeaves } from './lens-answer.js'
import type { Plan } from './plan.js'

type Fellow = NonNullable<Plan['lens']['fellow']>
type Stated = NonNullable<Case['fellow']>
type Lens = NonNullable<Plan['lens']['recommended']>

const IMAGE_SIZE: Source = {
  cite: 'product of vergences, as Langenbucher A et al., Simple method to estimate object to image magnification and aniseikonia following cataract surgery',
  sureness: 'secondary',
}

/** What the recommended lens means beside the other eye. */
export function fellowEyeOf(known: Case, eye: EyeForLens, answer: LensAnswer, lens: Lens | undefined): Fellow {
  const stated = known.fellow ?? {}
  const second = secondEyeOf(stated, eye, answer)
  const other = stated.refractionD?.value
  const apart = other === undefined || !lens ? undefined : { lowD: other - lens.leaves.highD, highD: other - lens.leaves.lowD }
  const size = lens && apart ? imageSize(stated, answer, lens.powerD) : undefined
  return {
    ...(apart ? { anisometropia: apart } : {}),
    ...(size && 'percent' in size ? { aniseikoniaPercent: size.percent, source: IMAGE_SIZE, working: size.working } : {}),
    ...(second ? { secondEye: second } : {}),
    words: [
      ...(apart ? [anisometropiaWords(apart, other ?? Number.NaN)] : []),
      ...(size && 'percent' in size ? [aniseikoniaWords(size.percent)] : []),
    ],
    missing: [
      ...(other === undefined ? ['refraction of the fellow eye: without it the difference between the eyes is not known'] : []),
      ...(size && 'missing' in size ? [size.missing] : []),
    ],
  }
}

function anisometropiaWords({ lowD, highD }: { readonly lowD: number; readonly highD: number }, fellowD: number): string {
  const sizes = [Math.abs(lowD), Math.abs(highD)]
  const [least, most] = [lowD < 0 && highD > 0 ? 0 : Math.min(...sizes), Math.max(...sizes)]
  const between = least.toFixed(1) === most.toFixed(1) ? most.toFixed(1) : `${least.toFixed(1)} to ${most.toFixed(1)}`
  return `Difference between the eyes after surgery: ${between} D (fellow eye ${refraction(fellowD)})`
}

const aniseikoniaWords = (percent: number): string =>
  `Retinal image ${signed(percent, 1)} % against the fellow eye with both in spectacles, by optics alone; symptoms begin at about 3 to 5 % by common teaching, and a stretched retina changes what is seen`

/** Both eyes as thin-lens eyes made sharp by spectacles; the fellow lens is the power that leaves its refraction. */
function imageSize(
  fellow: Stated,
  answer: LensAnswer,
  powerD: number,
): { readonly percent: number; readonly working: NonNullable<Fellow['working']> } | { readonly missing: string } {
  const status = fellow.lensStatus?.value
  const [length, keratometry, refracted] = [
    fellow.axialLengthMm?.value,
    fellow.meanKeratometryD?.value,
    fellow.refractionD?.value,
  ]
  if (status !== 'pseudophakic' && status !== 'aphakic') {
    const why = status === 'phakic' ? 'its own lens is not in these optics' : 'whether it has been operated was not stated'
    return { missing: `image sizes of the two eyes cannot be compared: ${why}` }
  }
  if (length === undefined || keratometry === undefined || refracted === undefined) {
    return { missing: 'axial length and keratometry of the fellow eye: without them image sizes cannot be compared' }
  }
  const row = middleRow(answer, powerD)
  if (!row?.evaluation) return { missing: 'no formula counts for this eye, so that image sizes cannot be compared' }
  const depth = fellow.anteriorChamberDepthMm?.value
  const other = evaluateFellow(row, answer, length, keratometry, depth)
  if (!other) return { missing: 'the formula is undefined for the fellow eye, so that image sizes cannot be compared' }
  const { evaluation } = row
  const here = retinalImagePerDegree({
    cornealPower: evaluation.cornealPower,
    effectiveLensPosition: evaluation.effectiveLensPosition,
    lensPower: dioptres(powerD),
    spectacles: evaluation.refractionFor(dioptres(powerD)),
  })
  const otherPower = status === 'aphakic' ? dioptres(0) : other.powerFor(dioptres(refracted))
  const there = retinalImagePerDegree({
    cornealPower: other.cornealPower,
    effectiveLensPosition: other.effectiveLensPosition,
    lensPower: otherPower,
    spectacles: dioptres(refracted),
  })
  const percent = aniseikonia(here, there)
  return {
    percent,
    working: {
      inputs: [
        { name: 'lens power, this eye', value: powerD, unit: 'D' },
        { name: 'lens power that leaves the refraction of the fellow eye', value: otherPower, unit: 'D' },
        { name: 'refraction of the fellow eye', value: refracted, unit: 'D' },
      ],
      steps: [
        { name: 'retinal image, this eye', value: here, unit: 'mm per degree' },
        { name: 'retinal image, fellow eye', value: there, unit: 'mm per degree' },
      ],
      equation: 'aniseikonia = 100 x (image of this eye / image of the fellow eye - 1), the same lens constants assumed for both',
      source: IMAGE_SIZE,
    },
  }
}

function evaluateFellow(row: EvaluatedRow, { source }: LensAnswer, length: number, keratometry: number, depth?: number) {
  const eye = {
    axialLength: mm(length),
    keratometry: dioptres(keratometry),
    anteriorChamberDepth: depth === undefined ? undefined : mm(depth),
  }
  const adjusted = evaluate(row.formula, eye, source.constants, { adjustment: row.adjustment })
  const outcome = adjusted.kind === 'computed' ? adjusted : evaluate(row.formula, eye, source.constants, { adjustment: 'none' })
  return outcome.kind === 'computed' ? outcome.value : undefined
}

/** Above this difference of the mean keratometries one series found nothing gained by half of the first eye's error, dioptres. */
const CORNEAS_ALIKE_TO_D = 0.6

/** Source: Aristodemou P et al. Ophthalmology 2011;118:1701-1709, as summarised in trade news (September 2011). */
function corneasApart(fellow: Stated, { keratometry }: EyeForLens): string {
  const other = fellow.meanKeratometryD?.value
  const series = `over ${CORNEAS_ALIKE_TO_D.toFixed(2)} D one series of 2011 found no gain from it (read in a summary)`
  if (other === undefined)
    return `. By how much the corneas differ is not known, for want of the first eye's keratometry: ${series}`
  // A difference of two readings carries binary dust past the limit.
  const apart = Math.round(Math.abs(other - keratometry) * 1000) / 1000
  return apart <= CORNEAS_ALIKE_TO_D ? '' : `. The corneas differ by ${apart.toFixed(2)} D: ${series}`
}

/** Half of the first eye's error for the second, beside the plain aim: information, never applied on its own. */
function secondEyeOf(fellow: Stated, eye: EyeForLens, answer: LensAnswer): Fellow['secondEye'] {
  const error = fellow.predictionErrorD?.value
  if (error === undefined) return undefined
  const outcome = secondEyeAim(eye.target, dioptres(error))
  if (outcome.kind !== 'computed') return { firstEyeErrorD: error, words: outcome.reason, source: SECOND_EYE_SOURCE }
  const { aim, correction } = outcome.value
  const lensFor = (target: typeof aim) => {
    const power = chosenFor(answer, target)
    return power && withLeaves(answer, power)
  }
  const [plain, corrected] = [lensFor(eye.target), lensFor(aim)]
  const named = (lens: typeof plain) => (lens ? lensPower(lens.powerD) : 'no lens that is made')
  return {
    firstEyeErrorD: error,
    correctionD: correction,
    aimD: aim,
    ...(plain ? { plain } : {}),
    ...(corrected ? { corrected } : {}),
    words: `The first eye ended ${refraction(error)} from its prediction. Half of that moves the aim from ${refraction(eye.target)} to ${refraction(aim)}: ${named(corrected) === named(plain) ? `still ${named(plain)}` : `${named(corrected)} instead of ${named(plain)}`}. Not applied: only if the first eye is stable and nothing else explains its error${corneasApart(fellow, eye)}`,
    source: outcome.value.source,
    working: {
      inputs: [
        { name: 'error of the first eye', value: error, unit: 'D' },
        { name: 'target', value: eye.target, unit: 'D' },
      ],
      steps: [
        { name: 'correction', value: correction, unit: 'D' },
        { name: 'aim', value: aim, unit: 'D' },
      ],
      equation: 'aim = target - 0.5 x error of the first eye',
      source: outcome.value.source,
    },
  }
}
