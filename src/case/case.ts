import { z } from 'zod'
import { EYES } from '../terms/eye.js'
import { DENSITY_BANDS, NUCLEAR_SCALES } from './nuclear-density.js'

/**
 * A case: the facts about one eye to be operated, as the asker gave them. A fact that was not given is absent,
 * and absent means unknown, never normal. Units are in the names; every value carries the text it was read from.
 */
const stated = <Value extends z.ZodType>(value: Value) =>
  z.strictObject({
    value,
    /** The words it was read from. */
    source: z.string(),
    /** Line of the message, from 1. */
    line: z.int().min(1),
    /** What was taken for granted in reading it, such as a unit; shown to the asker. */
    assumed: z.string().optional(),
  })

export interface Stated<Value> {
  readonly value: Value
  readonly source: string
  readonly line: number
  readonly assumed?: string | undefined
}

const number = (low: number, high: number) => stated(z.number().min(low).max(high))
const yesNo = stated(z.boolean())
const oneOf = <const Values extends readonly [string, ...string[]]>(values: Values) => stated(z.enum(values))

export const AXIAL_LENGTH_METHODS = ['optical', 'optical-segments', 'immersion', 'contact', 'ultrasound'] as const
export const SURGEON_GRADES = [
  'trainee',
  'registrar',
  'fellow',
  'specialty-doctor',
  'associate-specialist',
  'consultant',
] as const
export const ANAESTHESIA = ['topical', 'topical-intracameral', 'sub-tenon', 'peribulbar', 'retrobulbar', 'general'] as const
export const LENS_STATUS = ['phakic', 'pseudophakic', 'aphakic'] as const
export const TECHNIQUES = ['chop', 'divide-and-conquer', 'stop-and-chop', 'manual-small-incision', 'extracapsular'] as const

/** Corneal power in dioptres at index 1.3375, whatever index or radius was given (that stays in `source` and `assumed`). */
const keratometry = z.strictObject({
  meanD: z.number().min(20).max(70),
  flatD: z.number().min(20).max(70).optional(),
  steepD: z.number().min(20).max(70).optional(),
  /** Meridian of the flat power, degrees. */
  flatAxisDeg: z.number().min(0).max(180).optional(),
  steepAxisDeg: z.number().min(0).max(180).optional(),
  /** The keratometric index that the reading was given at. */
  indexGiven: z.number().min(1.3).max(1.4),
})

const refractionReading = z.strictObject({
  sphereD: z.number().min(-50).max(30),
  cylinderD: z.number().min(-15).max(15).optional(),
  axisDeg: z.number().min(0).max(180).optional(),
  sphericalEquivalentD: z.number().min(-50).max(30),
})

const nucleus = z.strictObject({
  scale: z.enum(NUCLEAR_SCALES),
  /** The grade as given on that scale: a number, or a colour word. */
  grade: z.union([z.number(), z.string()]),
  /** The project's band, from the approximate cross-walk. */
  band: z.enum(DENSITY_BANDS),
})

const fellowEye = z.strictObject({
  axialLengthMm: number(14, 40).optional(),
  meanKeratometryD: number(20, 70).optional(),
  /** Spherical equivalent, dioptres at the spectacle plane. */
  refractionD: number(-50, 30).optional(),
  lensStatus: oneOf(LENS_STATUS).optional(),
  anteriorChamberDepthMm: number(0.5, 7).optional(),
  lensThicknessMm: number(1, 8).optional(),
  centralCornealThicknessUm: number(250, 1200).optional(),
  whiteToWhiteMm: number(7, 16).optional(),
  endothelialCellDensityPerMm2: number(100, 5000).optional(),
  intraocularPressureMmHg: number(0, 80).optional(),
  acuity: stated(z.string().max(40)).optional(),
  capsuleRupture: yesNo.optional(),
  retinalDetachment: yesNo.optional(),
  /** Achieved minus predicted refraction of the first eye, dioptres. */
  predictionErrorD: number(-15, 15).optional(),
})

const lensConstants = z.strictObject({
  aConstant: number(90, 130).optional(),
  surgeonFactorMm: number(-5, 10).optional(),
  personalisedAcdMm: number(0, 12).optional(),
  haigisA0: number(-20, 20).optional(),
  haigisA1: number(-2, 2).optional(),
  haigisA2: number(-2, 2).optional(),
  /** What kind of axial length the constants were optimised for. */
  modality: oneOf(['optical', 'ultrasound']).optional(),
})

export const caseSchema = z.strictObject({
  eye: oneOf(EYES).optional(),
  /** 90 stands for 90 or more: greater ages are not kept. */
  ageYears: number(18, 90).optional(),
  sex: oneOf(['female', 'male']).optional(),
  weightKg: number(25, 300).optional(),

  axialLengthMm: number(14, 40).optional(),
  axialLengthMethod: oneOf(AXIAL_LENGTH_METHODS).optional(),
  axialLengthSdMm: number(0, 5).optional(),
  axialLengthSnr: number(0, 10000).optional(),
  opticalBiometryFailed: yesNo.optional(),
  keratometry: stated(keratometry).optional(),
  /** Corneal epithelium to anterior lens, mm. A depth given from the endothelium has the corneal thickness added. */
  anteriorChamberDepthMm: number(0.5, 7).optional(),
  anteriorChamberDepthFrom: oneOf(['epithelium', 'endothelium']).optional(),
  lensThicknessMm: number(1, 8).optional(),
  centralCornealThicknessUm: number(250, 1200).optional(),
  whiteToWhiteMm: number(7, 16).optional(),
  pupilDilatedMm: number(0.5, 11).optional(),
  endothelialCellDensityPerMm2: number(100, 5000).optional(),
  intraocularPressureMmHg: number(0, 80).optional(),
  /** Spectacle plane. */
  refraction: stated(refractionReading).optional(),
  acuity: stated(z.string().max(40)).optional(),
  biometryAgeMonths: number(0, 240).optional(),

  fellow: fellowEye.optional(),

  nucleus: stated(nucleus).optional(),
  whiteCataract: yesNo.optional(),
  posteriorPolarCataract: yesNo.optional(),
  posteriorCapsulePlaque: yesNo.optional(),
  redReflex: oneOf(['present', 'absent']).optional(),
  cornealScar: yesNo.optional(),
  fuchsDystrophy: yesNo.optional(),
  morningBlur: yesNo.optional(),
  keratoconus: yesNo.optional(),
  /** Contact lenses worn until lately; 'worn' where their kind was not said. */
  contactLenses: oneOf(['none', 'soft', 'rigid', 'worn']).optional(),
  /** A lens implanted in front of the eye's own. */
  phakicLens: yesNo.optional(),

  fundusView: oneOf(['clear', 'partial', 'none']).optional(),
  bScan: oneOf(['flat', 'detached', 'other-finding', 'not-done']).optional(),
  staphyloma: oneOf(['present', 'absent']).optional(),
  macula: oneOf(['normal', 'atrophy', 'foveoschisis', 'hole', 'traction', 'neovascular', 'other-finding']).optional(),
  macularOct: oneOf(['done', 'not-done', 'not-possible']).optional(),
  /** META-PM category of myopic maculopathy, 0 to 4. */
  myopicMaculopathy: number(0, 4).optional(),
  periphery: oneOf(['normal', 'lattice', 'untreated-tear', 'treated', 'detached']).optional(),
  newFloaters: yesNo.optional(),
  vitreous: oneOf(['attached', 'detached']).optional(),
  familyRetinalDetachment: yesNo.optional(),

  zonules: oneOf(['normal', 'weak', 'phacodonesis']).optional(),
  zonularLossClockHours: number(0, 12).optional(),
  pseudoexfoliation: yesNo.optional(),
  alphaBlocker: oneOf(['never', 'past', 'current']).optional(),
  anticoagulant: oneOf(['none', 'antiplatelet', 'warfarin', 'doac', 'other']).optional(),
  previousVitrectomy: yesNo.optional(),
  siliconeOil: yesNo.optional(),
  intravitrealInjections: number(0, 200).optional(),
  previousRefractiveSurgery: yesNo.optional(),
  /** `diabetes` alone leaves retinopathy unknown. */
  diabetes: oneOf(['none', 'diabetes', 'without-retinopathy', 'retinopathy']).optional(),
  glaucoma: yesNo.optional(),
  uveitis: yesNo.optional(),
  posteriorSynechiae: yesNo.optional(),
  steroidResponder: yesNo.optional(),
  onlyEye: yesNo.optional(),
  canLieFlat: yesNo.optional(),
  amblyopia: yesNo.optional(),
  strabismus: yesNo.optional(),
  ocularTrauma: yesNo.optional(),

  anaesthesia: oneOf(ANAESTHESIA).optional(),
  technique: oneOf(TECHNIQUES).optional(),
  incisionMm: number(1, 14).optional(),
  /** Meridian of the main incision, degrees. */
  incisionMeridianDeg: number(0, 360).optional(),
  /** Flattening that the surgeon's incision is known to induce, dioptres. */
  inducedAstigmatismD: number(0, 3).optional(),
  /** Bottle above the eye, cm; means nothing where infusion is actively pressurised. */
  bottleHeightCm: number(0, 200).optional(),
  infusionPressureMmHg: number(0, 120).optional(),
  activeInfusion: yesNo.optional(),
  surgeonGrade: oneOf(SURGEON_GRADES).optional(),
  surgeonCases: number(0, 100000).optional(),
  /** ISO date of the planned surgery. */
  surgeryDate: stated(z.iso.date()).optional(),
  /** Spherical equivalent wanted, dioptres at the spectacle plane. */
  targetRefractionD: number(-12, 6).optional(),
  lensConstants: lensConstants.optional(),
  /** A label from the department's lens list. */
  lensLabel: stated(z.string().max(60)).optional(),
  toricPlanned: yesNo.optional(),
  multifocalPlanned: yesNo.optional(),
  /** Asked for by name: separate constants for plus and minus powers. */
  separateConstantsAsked: yesNo.optional(),
  siliconeOpticPlanned: yesNo.optional(),
  capsularRingPlanned: yesNo.optional(),

  question: stated(z.string().max(2000)).optional(),

  /** What the message said that could not be read; kept so that a colleague still sees it. */
  notUnderstood: z.array(z.strictObject({ text: z.string(), line: z.int().min(1) })).optional(),
})

export type Case = z.infer<typeof caseSchema>
