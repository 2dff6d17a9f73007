import type { Case } from '../case/case.js'
import type { Lens, LensList } from '../case/lens-list.js'
import type { HaigisConstants, LensConstants } from '../optics/lens-formula.js'
import { type Millimetres, mm } from '../terms/units.js'
import type { Plan } from './plan.js'

/** Which lens the powers are computed for, with what, and where that was taken from. */
export interface LensSource {
  readonly constants: LensConstants
  readonly modality: 'optical' | 'ultrasound' | 'not-stated'
  readonly shown: Plan['lens']['constants']
  readonly label?: string
  /** The lens whose real powers are offered; absent when only constants were given. */
  readonly lens?: Lens
  readonly notes: readonly string[]
}

interface KnownConstants {
  readonly aConstant: number | undefined
  readonly surgeonFactor: Millimetres | undefined
  readonly personalisedAcd: Millimetres | undefined
  readonly haigis: HaigisConstants | undefined
}

const millimetres = (value: number | undefined): Millimetres | undefined => (value === undefined ? undefined : mm(value))

function constantsStated(known: Case): KnownConstants {
  const stated = known.lensConstants
  const [a0, a1, a2] = [stated?.haigisA0?.value, stated?.haigisA1?.value, stated?.haigisA2?.value]
  return {
    aConstant: stated?.aConstant?.value,
    surgeonFactor: millimetres(stated?.surgeonFactorMm?.value),
    personalisedAcd: millimetres(stated?.personalisedAcdMm?.value),
    haigis: a0 === undefined || a1 === undefined || a2 === undefined ? undefined : { a0: mm(a0), a1, a2 },
  }
}

function constantsOfLens({ constants }: Lens): KnownConstants {
  const haigis = constants.haigis
  return {
    aConstant: constants['srk-t'].aConstant,
    surgeonFactor: millimetres(constants['holladay-1']?.surgeonFactorMm),
    personalisedAcd: millimetres(constants['hoffer-q']?.personalisedAcdMm),
    haigis: haigis && { a0: mm(haigis.a0), a1: haigis.a1, a2: haigis.a2 },
  }
}

function shownConstants(
  { aConstant, surgeonFactor, personalisedAcd, haigis }: KnownConstants,
  origin: string,
  modality: LensSource['modality'],
): Plan['lens']['constants'] {
  const row = (formula: Plan['lens']['constants'][number]['formula'], name: string, value: number | undefined) =>
    value === undefined ? [] : [{ formula, name, value, origin, modality }]
  return [
    ...row('srk-t', 'A', aConstant),
    ...row('holladay-1', 'SF', surgeonFactor),
    ...row('hoffer-q', 'pACD', personalisedAcd),
    ...row('haigis', 'a0', haigis?.a0),
    ...row('haigis', 'a1', haigis?.a1),
    ...row('haigis', 'a2', haigis?.a2),
  ]
}

/**
 * The lens to compute for: constants stated in the message, else the lens named in it, else the department's default.
 * A default is always said to be one. Undefined when there is nothing to compute with.
 */
export function lensSourceOf(known: Case, lensList: LensList | undefined): LensSource | undefined {
  const wanted = known.lensLabel?.value
  const named =
    wanted === undefined ? undefined : lensList?.lenses.find(({ label }) => label.toLowerCase() === wanted.toLowerCase())
  const stated = constantsStated(known)
  const anyStated = Object.values(stated).some((value) => value !== undefined)
  const unknownLabel = wanted !== undefined && named === undefined ? [`The lens "${wanted}" is not in the lens list.`] : []

  if (anyStated) {
    const modality = known.lensConstants?.modality?.value ?? 'not-stated'
    const incomplete = known.lensConstants?.haigisA0 !== undefined && stated.haigis === undefined
    return {
      constants: stated,
      modality,
      shown: shownConstants(stated, 'stated in the message', modality),
      ...(named ? { label: named.label, lens: named } : {}),
      notes: [...unknownLabel, ...(incomplete ? ['Haigis needs all of a0, a1 and a2; the ones given were not used.'] : [])],
    }
  }
  const lens = named ?? (wanted === undefined ? lensList?.lenses.find(({ label }) => label === lensList.defaultLens) : undefined)
  if (!lens || !lensList) return undefined
  const modality = lens.constants['srk-t'].modality
  const constants = constantsOfLens(lens)
  const assumed = named ? [] : [`No lens was named: constants of the list's default, ${lens.label}, were assumed.`]
  return {
    constants,
    modality,
    shown: shownConstants(constants, `lens list: ${lens.label}${named ? '' : ' (assumed default)'}`, modality),
    label: lens.label,
    lens,
    notes: assumed,
  }
}
