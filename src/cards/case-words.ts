import type { Plan } from '../plan/plan.js'
import { eyeInFull } from '../terms/eye.js'
import { refraction } from '../terms/power.js'
import { withThousands } from './figures.js'
import { WORDS } from './words-en.js'

type Case = Plan['case']

/** One line of the case as it was read. */
export interface CaseRow {
  readonly label: string
  readonly value: string
  /** The words it was read from. */
  readonly source: string
  readonly assumed?: string
}

type FactKey = Exclude<keyof Case, 'fellow' | 'lensConstants' | 'notUnderstood'>
type ValueOf<Key extends FactKey> = NonNullable<Case[Key]>['value']

/** Enumerated values whose words are not simply their hyphens taken out. */
const SPOKEN: Readonly<Record<string, string>> = {
  'optical-segments': 'optical, sum of segments',
  contact: 'contact ultrasound',
  immersion: 'immersion ultrasound',
  'sub-tenon': 'sub-Tenon',
  'topical-intracameral': 'topical with intracameral',
  'manual-small-incision': 'manual small incision',
  'very-hard': 'very hard',
  doac: 'direct oral anticoagulant',
}

export const spoken = (value: string): string => SPOKEN[value] ?? value.replaceAll('-', ' ')
const yesNo = (value: boolean): string => (value ? WORDS.yes : WORDS.no)
const mm =
  (digits: number) =>
  (value: number): string =>
    `${value.toFixed(digits)} mm`
const unit =
  (name: string) =>
  (value: number): string =>
    `${withThousands(value)} ${name}`

const NUCLEAR_SCALE_WORDS: Readonly<Record<ValueOf<'nucleus'>['scale'], string>> = {
  'locs-iii-no': 'LOCS III NO',
  'locs-iii-nc': 'LOCS III NC',
  emery: 'Emery',
  buratto: 'Buratto',
  plus: 'clinical plus grade',
  'bcn-10': 'BCN 10',
  who: 'WHO',
  colour: 'colour',
}

/** "LOCS III NO 5.2 (very hard)"; the band is the project's own cross-walk. */
export const nucleusInWords = (nucleus: ValueOf<'nucleus'>): string =>
  `${NUCLEAR_SCALE_WORDS[nucleus.scale]} ${nucleus.scale === 'plus' ? `${nucleus.grade}+` : nucleus.grade} (${spoken(nucleus.band)})`

function keratometryInWords(reading: ValueOf<'keratometry'>): string {
  const at = (axis: number | undefined): string => (axis === undefined ? '' : ` at ${axis}°`)
  const pair =
    reading.flatD === undefined || reading.steepD === undefined
      ? ''
      : ` (${reading.flatD.toFixed(2)}${at(reading.flatAxisDeg)}, ${reading.steepD.toFixed(2)}${at(reading.steepAxisDeg)})`
  return `mean ${reading.meanD.toFixed(2)} D${pair}, given at index ${reading.indexGiven}`
}

function refractionInWords(reading: ValueOf<'refraction'>): string {
  const cylinder = reading.cylinderD === undefined ? '' : ` / ${refraction(reading.cylinderD)}`
  const axis = reading.axisDeg === undefined ? '' : ` × ${reading.axisDeg}°`
  return `${refraction(reading.sphereD)}${cylinder}${axis}, equivalent ${refraction(reading.sphericalEquivalentD)}`
}

type Fact<Value> = readonly [label: string, say: (value: Value) => string]
const flag = (label: string): Fact<boolean> => [label, yesNo]
const choice = (label: string): Fact<string> => [label, spoken]

/** Label and wording of each fact, in the order in which a reader expects them. A new fact does not compile until it has both. */
const FACTS: { readonly [Key in FactKey]-?: Fact<ValueOf<Key>> } = {
  eye: ['Eye', eyeInFull],
  ageYears: ['Age', (value) => (value >= 90 ? WORDS.ninetyOrOver : `${value} years`)],
  sex: choice('Sex'),
  weightKg: ['Weight', unit('kg')],
  axialLengthMm: ['Axial length', mm(2)],
  axialLengthMethod: choice('Axial length measured by'),
  axialLengthSdMm: ['Axial length, SD', mm(3)],
  axialLengthSnr: ['Axial length, SNR', withThousands],
  opticalBiometryFailed: flag('Optical biometry failed'),
  keratometry: ['Keratometry', keratometryInWords],
  anteriorChamberDepthMm: ['Anterior chamber depth', mm(2)],
  anteriorChamberDepthFrom: ['Chamber depth given from', spoken],
  lensThicknessMm: ['Lens thickness', mm(2)],
  centralCornealThicknessUm: ['Central corneal thickness', unit('µm')],
  whiteToWhiteMm: ['White to white', mm(1)],
  pupilDilatedMm: ['Pupil, dilated', mm(1)],
  endothelialCellDensityPerMm2: ['Endothelial cell density', unit('cells/mm²')],
  intraocularPressureMmHg: ['Intraocular pressure', unit('mmHg')],
  refraction: ['Refraction', refractionInWords],
  acuity: ['Acuity', (value) => value],
  biometryAgeMonths: ['Age of the biometry', unit('months')],
  nucleus: ['Nucleus', nucleusInWords],
  whiteCataract: flag('White or mature cataract'),
  posteriorPolarCataract: flag('Posterior polar cataract'),
  posteriorCapsulePlaque: flag('Posterior capsule plaque'),
  redReflex: choice('Red reflex'),
  cornealScar: flag('Corneal scar'),
  fuchsDystrophy: flag('Fuchs dystrophy'),
  morningBlur: flag('Blur on waking'),
  fundusView: choice('View of the fundus'),
  bScan: choice('B-scan'),
  staphyloma: choice('Posterior staphyloma'),
  macula: choice('Macula'),
  macularOct: choice('Macular OCT'),
  myopicMaculopathy: ['Myopic maculopathy', (value) => `META-PM category ${value}`],
  periphery: choice('Peripheral retina'),
  newFloaters: flag('New flashes or floaters'),
  vitreous: choice('Posterior vitreous'),
  familyRetinalDetachment: flag('Retinal detachment in the family'),
  zonules: choice('Zonules'),
  zonularLossClockHours: ['Zonular loss', unit('clock hours')],
  pseudoexfoliation: flag('Pseudoexfoliation'),
  alphaBlocker: choice('Alpha blocker'),
  anticoagulant: choice('Anticoagulant'),
  previousVitrectomy: flag('Previous vitrectomy'),
  siliconeOil: flag('Silicone oil in the eye'),
  intravitrealInjections: ['Intravitreal injections', withThousands],
  previousRefractiveSurgery: flag('Previous refractive surgery'),
  diabetes: choice('Diabetes'),
  glaucoma: flag('Glaucoma'),
  steroidResponder: flag('Steroid responder'),
  onlyEye: flag('Only seeing eye'),
  canLieFlat: flag('Can lie flat'),
  amblyopia: flag('Amblyopia'),
  strabismus: flag('Strabismus'),
  ocularTrauma: flag('Previous eye injury'),
  anaesthesia: choice('Anaesthesia planned'),
  technique: choice('Technique planned'),
  incisionMeridianDeg: ['Meridian of the incision', (value) => `${value}°`],
  inducedAstigmatismD: ['Astigmatism induced by the incision', (value) => `${value.toFixed(2)} D`],
  separateConstantsAsked: flag('Separate constants for plus and minus powers asked for'),
  incisionMm: ['Main incision', mm(1)],
  bottleHeightCm: ['Bottle height', unit('cm')],
  infusionPressureMmHg: ['Infusion pressure', unit('mmHg')],
  activeInfusion: flag('Actively pressurised infusion'),
  surgeonGrade: choice('Operates first'),
  surgeonCases: ['Operations done by that surgeon', withThousands],
  surgeryDate: ['Date of surgery', (value) => value],
  targetRefractionD: ['Target refraction', refraction],
  lensLabel: ['Lens', (value) => value],
  toricPlanned: flag('Toric lens planned'),
  multifocalPlanned: flag('Multifocal lens planned'),
  siliconeOpticPlanned: flag('Silicone optic planned'),
  capsularRingPlanned: flag('Capsular tension ring planned'),
  question: ['Question', (value) => value],
}

type Group<Key extends 'fellow' | 'lensConstants'> = NonNullable<Case[Key]>
type GroupFacts<Key extends 'fellow' | 'lensConstants'> = {
  readonly [Part in keyof Group<Key>]-?: Fact<NonNullable<Group<Key>[Part]> extends { value: infer Value } ? Value : never>
}

const FELLOW: GroupFacts<'fellow'> = {
  lensStatus: choice('Fellow eye, lens'),
  axialLengthMm: ['Fellow eye, axial length', mm(2)],
  meanKeratometryD: ['Fellow eye, mean keratometry', (value) => `${value.toFixed(2)} D`],
  refractionD: ['Fellow eye, refraction', refraction],
  anteriorChamberDepthMm: ['Fellow eye, anterior chamber depth', mm(2)],
  lensThicknessMm: ['Fellow eye, lens thickness', mm(2)],
  centralCornealThicknessUm: ['Fellow eye, central corneal thickness', unit('µm')],
  whiteToWhiteMm: ['Fellow eye, white to white', mm(1)],
  endothelialCellDensityPerMm2: ['Fellow eye, endothelial cell density', unit('cells/mm²')],
  intraocularPressureMmHg: ['Fellow eye, intraocular pressure', unit('mmHg')],
  acuity: ['Fellow eye, acuity', (value) => value],
  capsuleRupture: flag('Fellow eye, capsule rupture'),
  retinalDetachment: flag('Fellow eye, retinal detachment'),
  predictionErrorD: ['Fellow eye, achieved minus predicted', refraction],
}

const constant = (label: string, digits: number): Fact<number> => [label, (value) => value.toFixed(digits)]
const CONSTANTS: GroupFacts<'lensConstants'> = {
  aConstant: constant('A constant', 2),
  surgeonFactorMm: ['Surgeon factor', mm(2)],
  personalisedAcdMm: ['Personalised ACD', mm(2)],
  haigisA0: constant('Haigis a0', 3),
  haigisA1: constant('Haigis a1', 3),
  haigisA2: constant('Haigis a2', 3),
  modality: choice('Constants optimised for'),
}

interface Given {
  readonly value: unknown
  readonly source: string
  readonly assumed?: string | undefined
}

/** Rows of the facts that were given. The tables above tie each wording to its value's type, key by key. */
function rowsOf(facts: Readonly<Record<string, readonly [string, (value: never) => string]>>, given: object): CaseRow[] {
  const values = given as Readonly<Record<string, Given | undefined>>
  return Object.entries(facts).flatMap(([key, [label, say]]) => {
    const stated = values[key]
    if (stated === undefined) return []
    const row = { label, value: say(stated.value as never), source: stated.source }
    return [stated.assumed === undefined ? row : { ...row, assumed: stated.assumed }]
  })
}

/** Every stated fact of the case with the words it was read from. */
export const caseRows = (facts: Case): readonly CaseRow[] => [
  ...rowsOf(FACTS, facts),
  ...rowsOf(FELLOW, facts.fellow ?? {}),
  ...rowsOf(CONSTANTS, facts.lensConstants ?? {}),
]

/** The fellow eye's facts alone. */
export const fellowRows = (facts: Case): readonly CaseRow[] => rowsOf(FELLOW, facts.fellow ?? {})

/** "Left eye (OS)", or that the eye was not stated. */
export const eyeInWords = (facts: Case): string => (facts.eye === undefined ? WORDS.eyeNotStated : eyeInFull(facts.eye.value))
