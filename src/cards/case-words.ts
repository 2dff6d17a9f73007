import type { Plan } from '../plan/plan.js'
import { eyeInFull } from '../terms/eye.js'
import { refraction } from '../terms/power.js'
import { withThousands } from './figures.js'
import { CASE_WORDS } from './words-case-en.js'
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

export const spoken = (value: string): string => CASE_WORDS.spoken[value] ?? value.replaceAll('-', ' ')
const yesNo = (value: boolean): string => (value ? WORDS.yes : WORDS.no)
const mm =
  (digits: number) =>
  (value: number): string =>
    `${value.toFixed(digits)} mm`
const unit =
  (name: string) =>
  (value: number): string =>
    `${withThousands(value)} ${name}`

/** "LOCS III NO 5.2 (very hard)"; the band is the project's own cross-walk. */
export const nucleusInWords = (nucleus: ValueOf<'nucleus'>): string =>
  `${CASE_WORDS.scales[nucleus.scale]} ${nucleus.scale === 'plus' ? `${nucleus.grade}+` : nucleus.grade} (${spoken(nucleus.band)})`

function keratometryInWords(reading: ValueOf<'keratometry'>): string {
  const at = (axis: number | undefined): string => (axis === undefined ? '' : CASE_WORDS.atAxis(axis))
  const pair =
    reading.flatD === undefined || reading.steepD === undefined
      ? ''
      : ` (${reading.flatD.toFixed(2)}${at(reading.flatAxisDeg)}, ${reading.steepD.toFixed(2)}${at(reading.steepAxisDeg)})`
  return CASE_WORDS.keratometry(`${reading.meanD.toFixed(2)} D${pair}`, reading.indexGiven)
}

function refractionInWords(reading: ValueOf<'refraction'>): string {
  const cylinder = reading.cylinderD === undefined ? '' : ` / ${refraction(reading.cylinderD)}`
  const axis = reading.axisDeg === undefined ? '' : ` × ${reading.axisDeg}°`
  return CASE_WORDS.refraction(`${refraction(reading.sphereD)}${cylinder}${axis}`, refraction(reading.sphericalEquivalentD))
}

type Fact<Value> = readonly [label: string, say: (value: Value) => string]
const flag = (label: string): Fact<boolean> => [label, yesNo]
const choice = (label: string): Fact<string> => [label, spoken]

const { facts: L, fellow: F, constants: C } = CASE_WORDS

/** Label and wording of each fact, in the order in which a reader expects them. A new fact does not compile until it has both. */
const FACTS: { readonly [Key in FactKey]-?: Fact<ValueOf<Key>> } = {
  eye: [L.eye, eyeInFull],
  ageYears: [L.ageYears, (value) => (value >= 90 ? WORDS.ninetyOrOver : CASE_WORDS.years(value))],
  sex: choice(L.sex),
  weightKg: [L.weightKg, unit('kg')],
  axialLengthMm: [L.axialLengthMm, mm(2)],
  axialLengthMethod: choice(L.axialLengthMethod),
  axialLengthSdMm: [L.axialLengthSdMm, mm(3)],
  axialLengthSnr: [L.axialLengthSnr, withThousands],
  opticalBiometryFailed: flag(L.opticalBiometryFailed),
  keratometry: [L.keratometry, keratometryInWords],
  anteriorChamberDepthMm: [L.anteriorChamberDepthMm, mm(2)],
  anteriorChamberDepthFrom: [L.anteriorChamberDepthFrom, spoken],
  lensThicknessMm: [L.lensThicknessMm, mm(2)],
  centralCornealThicknessUm: [L.centralCornealThicknessUm, unit('µm')],
  whiteToWhiteMm: [L.whiteToWhiteMm, mm(1)],
  pupilDilatedMm: [L.pupilDilatedMm, mm(1)],
  endothelialCellDensityPerMm2: [L.endothelialCellDensityPerMm2, unit(CASE_WORDS.cells)],
  intraocularPressureMmHg: [L.intraocularPressureMmHg, unit('mmHg')],
  refraction: [L.refraction, refractionInWords],
  acuity: [L.acuity, (value) => value],
  biometryAgeMonths: [L.biometryAgeMonths, unit(CASE_WORDS.months)],
  nucleus: [L.nucleus, nucleusInWords],
  whiteCataract: flag(L.whiteCataract),
  posteriorPolarCataract: flag(L.posteriorPolarCataract),
  posteriorCapsulePlaque: flag(L.posteriorCapsulePlaque),
  redReflex: choice(L.redReflex),
  cornealScar: flag(L.cornealScar),
  fuchsDystrophy: flag(L.fuchsDystrophy),
  morningBlur: flag(L.morningBlur),
  keratoconus: flag(L.keratoconus),
  contactLenses: choice(L.contactLenses),
  phakicLens: flag(L.phakicLens),
  fundusView: choice(L.fundusView),
  bScan: choice(L.bScan),
  staphyloma: choice(L.staphyloma),
  macula: choice(L.macula),
  macularOct: choice(L.macularOct),
  myopicMaculopathy: [L.myopicMaculopathy, (value) => CASE_WORDS.maculopathy(value)],
  periphery: choice(L.periphery),
  newFloaters: flag(L.newFloaters),
  vitreous: choice(L.vitreous),
  familyRetinalDetachment: flag(L.familyRetinalDetachment),
  zonules: choice(L.zonules),
  zonularLossClockHours: [L.zonularLossClockHours, unit(CASE_WORDS.clockHours)],
  pseudoexfoliation: flag(L.pseudoexfoliation),
  alphaBlocker: choice(L.alphaBlocker),
  anticoagulant: choice(L.anticoagulant),
  previousVitrectomy: flag(L.previousVitrectomy),
  siliconeOil: flag(L.siliconeOil),
  intravitrealInjections: [L.intravitrealInjections, withThousands],
  previousRefractiveSurgery: flag(L.previousRefractiveSurgery),
  diabetes: choice(L.diabetes),
  glaucoma: flag(L.glaucoma),
  uveitis: flag(L.uveitis),
  posteriorSynechiae: flag(L.posteriorSynechiae),
  steroidResponder: flag(L.steroidResponder),
  onlyEye: flag(L.onlyEye),
  canLieFlat: flag(L.canLieFlat),
  amblyopia: flag(L.amblyopia),
  strabismus: flag(L.strabismus),
  ocularTrauma: flag(L.ocularTrauma),
  anaesthesia: choice(L.anaesthesia),
  technique: choice(L.technique),
  incisionMeridianDeg: [L.incisionMeridianDeg, (value) => `${value}°`],
  inducedAstigmatismD: [L.inducedAstigmatismD, (value) => `${value.toFixed(2)} D`],
  separateConstantsAsked: flag(L.separateConstantsAsked),
  incisionMm: [L.incisionMm, mm(1)],
  bottleHeightCm: [L.bottleHeightCm, unit('cm')],
  infusionPressureMmHg: [L.infusionPressureMmHg, unit('mmHg')],
  activeInfusion: flag(L.activeInfusion),
  surgeonGrade: choice(L.surgeonGrade),
  surgeonCases: [L.surgeonCases, withThousands],
  surgeryDate: [L.surgeryDate, (value) => value],
  targetRefractionD: [L.targetRefractionD, refraction],
  lensLabel: [L.lensLabel, (value) => value],
  toricPlanned: flag(L.toricPlanned),
  multifocalPlanned: flag(L.multifocalPlanned),
  siliconeOpticPlanned: flag(L.siliconeOpticPlanned),
  capsularRingPlanned: flag(L.capsularRingPlanned),
  question: [L.question, (value) => value],
}

type Group<Key extends 'fellow' | 'lensConstants'> = NonNullable<Case[Key]>
type GroupFacts<Key extends 'fellow' | 'lensConstants'> = {
  readonly [Part in keyof Group<Key>]-?: Fact<NonNullable<Group<Key>[Part]> extends { value: infer Value } ? Value : never>
}

const FELLOW: GroupFacts<'fellow'> = {
  lensStatus: choice(F.lensStatus),
  axialLengthMm: [F.axialLengthMm, mm(2)],
  meanKeratometryD: [F.meanKeratometryD, (value) => `${value.toFixed(2)} D`],
  refractionD: [F.refractionD, refraction],
  anteriorChamberDepthMm: [F.anteriorChamberDepthMm, mm(2)],
  lensThicknessMm: [F.lensThicknessMm, mm(2)],
  centralCornealThicknessUm: [F.centralCornealThicknessUm, unit('µm')],
  whiteToWhiteMm: [F.whiteToWhiteMm, mm(1)],
  endothelialCellDensityPerMm2: [F.endothelialCellDensityPerMm2, unit(CASE_WORDS.cells)],
  intraocularPressureMmHg: [F.intraocularPressureMmHg, unit('mmHg')],
  acuity: [F.acuity, (value) => value],
  capsuleRupture: flag(F.capsuleRupture),
  retinalDetachment: flag(F.retinalDetachment),
  predictionErrorD: [F.predictionErrorD, refraction],
}

const constant = (label: string, digits: number): Fact<number> => [label, (value) => value.toFixed(digits)]
const CONSTANTS: GroupFacts<'lensConstants'> = {
  aConstant: constant(C.aConstant, 2),
  surgeonFactorMm: [C.surgeonFactorMm, mm(2)],
  personalisedAcdMm: [C.personalisedAcdMm, mm(2)],
  haigisA0: constant(C.haigisA0, 3),
  haigisA1: constant(C.haigisA1, 3),
  haigisA2: constant(C.haigisA2, 3),
  modality: choice(C.modality),
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
