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
  const { aConstant, modality } = constants['srk-t']
  const alike = <Given extends { readonly modality: string }>(given: Given | undefined): Given | undefined =>
    given?.modality === modality ? given : undefined
  const haigis = alike(constants.haigis)
  return {
    aConstant,
    surgeonFactor: millimetres(alike(constants['holladay-1'])?.surgeonFactorMm),
    personalisedAcd: millimetres(alike(constants['hoffer-q'])?.personalisedAcdMm),
    haigis: haigis && { a0: mm(haigis.a0), a1: haigis.a1, a2: haigis.a2 },
  }
}

type ShownConstant = Plan['lens']['constants'][number]

function shownConstants(
  { aConstant, surgeonFactor, personalisedAcd, haigis }: KnownConstants,
  origin: string,
  modality: LensSource['modality'],
  lens?: Lens,
): Plan['lens']['constants'] {
  const row = (formula: Exclude<ShownConstant['formula'], 't2'>, name: string, value: number | undefined): ShownConstant[] => {
    const eyes = lens?.constants[formula]?.eyes
    return value === undefined ? [] : [{ formula, name, value, origin, modality, ...(eyes === undefined ? {} : { eyes }) }]
  }
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
  const assumed = named ? [] : [`No lens was named: constants of the list's default, ${lens.label}, were assumed.`]
  return { ...sourceOfLens(lens, `lens list: ${lens.label}${named ? '' : ' (assumed default)'}`), notes: assumed }
}

/**
 * A lens of the list as a source of powers. Constants that were optimised for another kind of length than the lens's
 * A-constant are left out: one eye is never computed with both.
 */
export function sourceOfLens(lens: Lens, origin: string): LensSource {
  const { modality } = lens.constants['srk-t']
  const constants = constantsOfLens(lens)
  return { constants, modality, shown: shownConstants(constants, origin, modality, lens), label: lens.label, lens, notes: [] }
}
