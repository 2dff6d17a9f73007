import { ANAESTHESIA, AXIAL_LENGTH_METHODS, LENS_STATUS, SURGEON_GRADES, TECHNIQUES } from '../case/case.js'
import { DENSITY_BANDS } from '../case/nuclear-density.js'

/**
 * The facts that a precaution may speak of. Rule files name these and nothing else.
 * A fact that is not known is null; a derived fact is null as soon as one of its inputs is.
 */
export interface NumberFact {
  readonly kind: 'number'
  readonly unit: string
  readonly low: number
  readonly high: number
  readonly label: string
}
export interface ChoiceFact {
  readonly kind: 'choice'
  readonly values: readonly string[]
  readonly label: string
}
export interface YesNoFact {
  readonly kind: 'yes-no'
  readonly label: string
}
export type FactTerm = NumberFact | ChoiceFact | YesNoFact

const number = (label: string, unit: string, low: number, high: number): NumberFact => ({
  kind: 'number',
  label,
  unit,
  low,
  high,
})
const choice = (label: string, values: readonly string[]): ChoiceFact => ({ kind: 'choice', label, values })
const yesNo = (label: string): YesNoFact => ({ kind: 'yes-no', label })

export const FACTS = {
  // the patient and the eye
  ageYears: number('age', 'years', 18, 90),
  sex: choice('sex', ['female', 'male']),
  onlyEye: yesNo('only seeing eye'),
  canLieFlat: yesNo('can lie flat'),
  amblyopia: yesNo('amblyopia'),
  strabismus: yesNo('strabismus'),
  ocularTrauma: yesNo('previous eye injury'),
  glaucoma: yesNo('glaucoma'),
  steroidResponder: yesNo('known steroid response'),
  intraocularPressureMmHg: number('intraocular pressure', 'mmHg', 0, 80),
  diabetes: choice('diabetes', ['none', 'diabetes', 'without-retinopathy', 'retinopathy']),
  /** Not known of somebody of whom only diabetes was said. */
  diabeticRetinopathy: yesNo('diabetic retinopathy'),
  alphaBlocker: choice('alpha blocker', ['never', 'past', 'current']),
  anticoagulant: choice('anticoagulant', ['none', 'antiplatelet', 'warfarin', 'doac', 'other']),
  refractionD: number('refraction (spherical equivalent)', 'D', -50, 30),

  // biometry and lens
  axialLengthMm: number('axial length', 'mm', 14, 40),
  axialLengthMethod: choice('how the axial length was measured', AXIAL_LENGTH_METHODS),
  opticalBiometryFailed: yesNo('optical biometry failed'),
  meanKeratometryD: number('mean keratometry', 'D', 20, 70),
  keratometricAstigmatismD: number('keratometric astigmatism', 'D', 0, 30),
  anteriorChamberDepthMm: number('anterior chamber depth', 'mm', 0.5, 7),
  lensThicknessMm: number('lens thickness', 'mm', 1, 8),
  biometryAgeMonths: number('age of the biometry', 'months', 0, 240),
  previousRefractiveSurgery: yesNo('previous corneal refractive surgery'),
  axialLengthDifferenceMm: number('difference of axial length between the eyes', 'mm', 0, 20),
  keratometryDifferenceD: number('difference of mean keratometry between the eyes', 'D', 0, 40),
  fellowLensStatus: choice('lens of the fellow eye', LENS_STATUS),
  fellowRefractionD: number('refraction of the fellow eye', 'D', -50, 30),
  targetRefractionD: number('target refraction', 'D', -12, 6),
  plannedAnisometropiaD: number('difference between target and fellow eye', 'D', 0, 60),
  /** The power the plan recommends, signed. */
  recommendedPowerD: number('recommended lens power', 'D', -30, 60),
  lensConstantsModality: choice('what the lens constants were optimised for', ['optical', 'ultrasound']),
  toricPlanned: yesNo('toric lens planned'),
  multifocalPlanned: yesNo('multifocal lens planned'),
  siliconeOpticPlanned: yesNo('silicone optic planned'),
  capsularRingPlanned: yesNo('capsular tension ring planned'),

  // cornea
  endothelialCellDensityPerMm2: number('endothelial cell density', 'cells/mm²', 100, 5000),
  centralCornealThicknessUm: number('central corneal thickness', 'µm', 250, 1200),
  fuchsDystrophy: yesNo('Fuchs dystrophy'),
  morningBlur: yesNo('blur on waking'),
  cornealScar: yesNo('corneal scar'),
  keratoconus: yesNo('keratoconus'),
  contactLenses: choice('contact lenses worn until lately', ['none', 'soft', 'rigid', 'worn']),
  phakicLens: yesNo('lens implanted in front of the own lens'),

  // lens, capsule, zonules, pupil
  nucleusBand: choice('density of the nucleus', DENSITY_BANDS),
  whiteCataract: yesNo('white or mature cataract'),
  redReflex: choice('red reflex', ['present', 'absent']),
  posteriorPolarCataract: yesNo('posterior polar cataract'),
  posteriorCapsulePlaque: yesNo('posterior capsule plaque'),
  zonules: choice('zonules', ['normal', 'weak', 'phacodonesis']),
  zonularLossClockHours: number('zonular loss', 'clock hours', 0, 12),
  pseudoexfoliation: yesNo('pseudoexfoliation'),
  pupilDilatedMm: number('dilated pupil', 'mm', 0.5, 11),
  uveitis: yesNo('uveitis'),
  posteriorSynechiae: yesNo('posterior synechiae'),

  // retina and vitreous
  fundusView: choice('view of the fundus', ['clear', 'partial', 'none']),
  bScan: choice('B-scan', ['flat', 'detached', 'other-finding', 'not-done']),
  staphyloma: choice('posterior staphyloma', ['present', 'absent']),
  macula: choice('macula', ['normal', 'atrophy', 'foveoschisis', 'hole', 'traction', 'neovascular', 'other-finding']),
  macularOct: choice('macular OCT', ['done', 'not-done', 'not-possible']),
  myopicMaculopathy: number('myopic maculopathy category (META-PM)', 'category', 0, 4),
  periphery: choice('peripheral retina', ['normal', 'lattice', 'untreated-tear', 'treated', 'detached']),
  newFloaters: yesNo('new flashes or floaters'),
  vitreous: choice('posterior vitreous', ['attached', 'detached']),
  familyRetinalDetachment: yesNo('retinal detachment in the family'),
  fellowRetinalDetachment: yesNo('retinal detachment in the fellow eye'),
  fellowCapsuleRupture: yesNo('capsule rupture in the fellow eye'),
  previousVitrectomy: yesNo('previous vitrectomy'),
  siliconeOil: yesNo('silicone oil in the eye'),
  intravitrealInjections: number('intravitreal injections so far', 'injections', 0, 200),

  // the operation as planned
  anaesthesia: choice('planned anaesthesia', ANAESTHESIA),
  technique: choice('planned technique', TECHNIQUES),
  incisionMm: number('main incision', 'mm', 1, 14),
  bottleHeightCm: number('bottle height', 'cm', 0, 200),
  infusionPressureMmHg: number('infusion pressure', 'mmHg', 0, 120),
  activeInfusion: yesNo('actively pressurised infusion'),
  surgeonGrade: choice('grade of the surgeon who operates first', SURGEON_GRADES),
  surgeonCases: number('operations done by that surgeon', 'operations', 0, 100000),
} as const satisfies Readonly<Record<string, FactTerm>>

export type FactName = keyof typeof FACTS
export type FactValue = number | string | boolean | null
/** Every declared fact, null where not known. */
export type FactRecord = Readonly<Record<FactName, FactValue>>
