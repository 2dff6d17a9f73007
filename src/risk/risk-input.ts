/** Grades of the surgeon who operates first, as a case states them. */
export const SURGEON_GRADE_WORDS = {
  trainee: 'trainee in the first years',
  registrar: 'registrar',
  fellow: 'fellow',
  'specialty-doctor': 'specialty doctor',
  'associate-specialist': 'associate specialist',
  consultant: 'consultant',
} as const
export type SurgeonGrade = keyof typeof SURGEON_GRADE_WORDS

export type DensityBand = 'soft' | 'mild' | 'medium' | 'hard' | 'very-hard' | 'black'

/**
 * The facts that the risk models ask about, one eye. Undefined means that nobody stated it: never that it is absent.
 * Units are in the names. A sight of the fundus that is only partial is not "no fundal view" and not its absence: leave it undefined.
 */
export interface RiskInput {
  /** 90 stands for 90 or more. */
  readonly ageYears?: number | undefined
  readonly sex?: 'female' | 'male' | undefined
  readonly axialLengthMm?: number | undefined
  /** Corneal epithelium to lens. */
  readonly anteriorChamberDepthMm?: number | undefined
  readonly pupilDilatedMm?: number | undefined
  /** Spherical equivalent, spectacle plane, signed. */
  readonly refractionD?: number | undefined
  readonly nucleusBand?: DensityBand | undefined
  /** Brunescent (very hard or black) or white, mature lens. */
  readonly denseOrWhite?: boolean | undefined
  readonly whiteCataract?: boolean | undefined
  readonly noFundalView?: boolean | undefined
  readonly pseudoexfoliation?: boolean | undefined
  readonly phacodonesis?: boolean | undefined
  readonly glaucoma?: boolean | undefined
  /** `diabetes` alone leaves retinopathy unknown. */
  readonly diabetes?: 'none' | 'diabetes' | 'without-retinopathy' | 'retinopathy' | undefined
  readonly alphaBlocker?: 'never' | 'past' | 'current' | undefined
  readonly canLieFlat?: boolean | undefined
  readonly cornealScar?: boolean | undefined
  readonly posteriorCapsulePlaque?: boolean | undefined
  readonly posteriorPolarCataract?: boolean | undefined
  /** Deep-set eye, poor position of the head, and the like: the "other" point of the integer scores. */
  readonly poorAccess?: boolean | undefined
  readonly previousVitrectomy?: boolean | undefined
  readonly intravitrealInjections?: number | undefined
  readonly onlyEye?: boolean | undefined
  readonly amblyopia?: boolean | undefined
  readonly staphyloma?: 'present' | 'absent' | undefined
  readonly lattice?: boolean | undefined
  readonly vitreous?: 'attached' | 'detached' | undefined
  readonly fellowRetinalDetachment?: boolean | undefined
  readonly familyRetinalDetachment?: boolean | undefined
  readonly intraocularPressureMmHg?: number | undefined
  readonly steroidResponder?: boolean | undefined
  readonly anaesthesia?: 'topical' | 'topical-intracameral' | 'sub-tenon' | 'peribulbar' | 'retrobulbar' | 'general' | undefined
  readonly technique?: 'chop' | 'divide-and-conquer' | 'stop-and-chop' | 'manual-small-incision' | 'extracapsular' | undefined
  readonly incisionMm?: number | undefined
  readonly surgeonGrade?: SurgeonGrade | undefined
  /** Cataract operations done by that surgeon so far. */
  readonly surgeonCases?: number | undefined
}

/**
 * True when one part is true, false when all are false, otherwise unknown.
 */
export function anyOf(...parts: readonly (boolean | undefined)[]): boolean | undefined {
  if (parts.includes(true)) return true
  return parts.includes(undefined) ? undefined : false
}
