import type { Case } from '../case/case.js'
import { FACTS, type FactName, type FactRecord, type FactValue } from '../precautions/facts.js'
import { mmHgFromCmH2O } from '../surgery/infusion-pressure.js'
import { cmH2O } from '../terms/units.js'

const UNKNOWN = Object.fromEntries(Object.keys(FACTS).map((name) => [name, null])) as Record<FactName, FactValue>

/** Subtraction leaves dust behind the last stated decimal, and a threshold of 3 D must hold for a stated 3.00 D. */
const withoutDust = (value: number): number => Math.round(value * 1e6) / 1e6

/** The difference of two values, or null when either is unknown: a derived fact is unknown as soon as an input is. */
function difference(one: number | undefined, other: number | undefined): number | null {
  return one === undefined || other === undefined ? null : withoutDust(Math.abs(one - other))
}

function keratometricAstigmatismD(known: Case): number | null {
  const { flatD, steepD } = known.keratometry?.value ?? {}
  return flatD === undefined || steepD === undefined ? null : withoutDust(steepD - flatD)
}

/** "Diabetes" without a word on the retina leaves retinopathy unknown. */
function diabeticRetinopathy(known: Case): boolean | null {
  const diabetes = known.diabetes?.value
  return diabetes === undefined || diabetes === 'diabetes' ? null : diabetes === 'retinopathy'
}

/** The pressure as stated; of a bottle fed by gravity it follows from the height, to a whole millimetre. */
function infusionPressureMmHg(known: Case): number | null {
  const stated = known.infusionPressureMmHg?.value
  const height = known.bottleHeightCm?.value
  if (stated !== undefined) return stated
  return known.activeInfusion?.value === false && height !== undefined ? Math.round(mmHgFromCmH2O(cmH2O(height))) : null
}

/**
 * The facts that rules may speak of, from a case and from what was computed of it.
 * Whatever the case does not state is null.
 * @param recommendedPowerD lens power that the plan recommends, dioptres, signed
 */
export function factsOfCase(known: Case, recommendedPowerD: number | undefined): FactRecord {
  const facts: Record<FactName, FactValue> = { ...UNKNOWN }
  for (const name of Object.keys(FACTS) as FactName[]) {
    const item = known[name as keyof Case]
    if (item !== undefined && 'value' in item && typeof item.value !== 'object') facts[name] = item.value
  }
  const fellow = known.fellow
  return {
    ...facts,
    diabeticRetinopathy: diabeticRetinopathy(known),
    infusionPressureMmHg: infusionPressureMmHg(known),
    refractionD: known.refraction?.value.sphericalEquivalentD ?? null,
    meanKeratometryD: known.keratometry?.value.meanD ?? null,
    keratometricAstigmatismD: keratometricAstigmatismD(known),
    nucleusBand: known.nucleus?.value.band ?? null,
    fellowLensStatus: fellow?.lensStatus?.value ?? null,
    fellowRefractionD: fellow?.refractionD?.value ?? null,
    fellowRetinalDetachment: fellow?.retinalDetachment?.value ?? null,
    fellowCapsuleRupture: fellow?.capsuleRupture?.value ?? null,
    axialLengthDifferenceMm: difference(known.axialLengthMm?.value, fellow?.axialLengthMm?.value),
    keratometryDifferenceD: difference(known.keratometry?.value.meanD, fellow?.meanKeratometryD?.value),
    plannedAnisometropiaD: difference(known.targetRefractionD?.value, fellow?.refractionD?.value),
    lensConstantsModality: known.lensConstants?.modality?.value ?? null,
    recommendedPowerD: recommendedPowerD ?? null,
  }
}
