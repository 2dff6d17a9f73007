export type DensityBand = 'soft' | 'mild' | 'medium' | 'hard' | 'very-hard' | 'black'
export type Technique = 'chop' | 'divide-and-conquer' | 'stop-and-chop' | 'manual-small-incision' | 'extracapsular'

/** The facts that the surgery numbers ask about, one eye. Undefined means that nobody stated it: never that it is normal. */
export interface SurgeryInput {
  readonly weightKg?: number | undefined
  readonly axialLengthMm?: number | undefined
  /** Mean corneal power at index 1.3375. */
  readonly meanKeratometryD?: number | undefined
  readonly endothelialCellDensityPerMm2?: number | undefined
  readonly nucleusBand?: DensityBand | undefined
  readonly technique?: Technique | undefined
  readonly previousVitrectomy?: boolean | undefined
  readonly zonularLossClockHours?: number | undefined
  readonly incisionMm?: number | undefined
  /** Bottle above the eye; means nothing where the infusion is actively pressurised. */
  readonly bottleHeightCm?: number | undefined
  readonly infusionPressureMmHg?: number | undefined
  readonly activeInfusion?: boolean | undefined
}
