import type { Case } from '../case/case.js'
import type { SurgeryInput } from '../surgery/surgery-input.js'

/** What the numbers for the operation ask, from what the case states. What nobody stated stays undefined. */
export function surgeryInputOf(known: Case): SurgeryInput {
  return {
    weightKg: known.weightKg?.value,
    axialLengthMm: known.axialLengthMm?.value,
    meanKeratometryD: known.keratometry?.value.meanD,
    endothelialCellDensityPerMm2: known.endothelialCellDensityPerMm2?.value,
    nucleusBand: known.nucleus?.value.band,
    technique: known.technique?.value,
    previousVitrectomy: known.previousVitrectomy?.value,
    zonularLossClockHours: known.zonularLossClockHours?.value,
    incisionMm: known.incisionMm?.value,
    bottleHeightCm: known.bottleHeightCm?.value,
    infusionPressureMmHg: known.infusionPressureMmHg?.value,
    activeInfusion: known.activeInfusion?.value,
  }
}
