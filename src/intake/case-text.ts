import type { Case, Stated } from '../case/case.js'
import { SCALE_NAMES } from '../case/nuclear-density.js'
import { QUANTITIES, type Quantity, type QuantityName, STANDARD_KERATOMETRIC_INDEX } from '../terms/quantities.js'
import type { Finding } from './finding.js'
import { FINDINGS } from './finding-tables.js'

/** A number that is read back as it is: three decimals could be thousands, so a fourth is written. */
function digits(value: number): string {
  const text = String(Number(value.toFixed(5)))
  return /^-?\d+\.\d{3}$/.test(text) ? `${text}0` : text
}
const withSign = (value: number): string => (value > 0 ? `+${digits(value)}` : value === 0 ? '+0' : digits(value))

const quantityLine = (name: QuantityName, value: number): string => {
  const { short, unit }: Quantity = QUANTITIES[name]
  return `${short} ${digits(value)}${unit === '' || unit === 'cells/mm²' ? '' : ` ${unit}`}`
}

const METHODS: Readonly<Record<NonNullable<Case['axialLengthMethod']>['value'], string>> = {
  optical: 'optical biometry',
  'optical-segments': 'optical sum of segments',
  immersion: 'immersion a-scan',
  contact: 'contact a-scan',
  ultrasound: 'us biometry',
}

function findingLine({ names, present, absent, answers, phrases }: Finding, value: string | boolean): string | undefined {
  const name = names[0] ?? ''
  const phrase = phrases?.[String(value)]?.[0]
  const answer = answers?.[String(value)]?.[0]
  if (answer !== undefined) return `${name}: ${answer}`
  if (phrase !== undefined) return phrase
  if (present === value) return `${name}: yes`
  return absent === value ? `${name}: no` : undefined
}

const findingOf = (field: string, value: string | boolean): string | undefined => {
  for (const finding of FINDINGS) {
    const line = finding.field === field ? findingLine(finding, value) : undefined
    if (line !== undefined) return line
  }
  return undefined
}

/** A power kept at the standard index, as it reads at the index that the message names for all its powers. */
const atIndex = (powerD: number, index: number): string => digits((powerD * (index - 1)) / (STANDARD_KERATOMETRIC_INDEX - 1))

function corneaLines({ value }: NonNullable<Case['keratometry']>): readonly string[] {
  const { flatD, steepD, flatAxisDeg, steepAxisDeg, meanD, indexGiven } = value
  const axis = (degrees: number | undefined): string => (degrees === undefined ? '' : `@${digits(degrees)}`)
  const index = indexGiven === STANDARD_KERATOMETRIC_INDEX ? [] : [`index ${indexGiven}`]
  if (flatD === undefined || steepD === undefined) return [`mean K ${atIndex(meanD, indexGiven)} D`, ...index]
  return [
    `K1 ${atIndex(flatD, indexGiven)}${axis(flatAxisDeg)}`,
    `K2 ${atIndex(steepD, indexGiven)}${axis(steepAxisDeg)}`,
    ...index,
  ]
}

function chamberLine({
  anteriorChamberDepthMm: depth,
  anteriorChamberDepthFrom: from,
  centralCornealThicknessUm: cornea,
}: Case): readonly string[] {
  if (depth === undefined) return []
  if (from?.value === 'endothelium' && cornea !== undefined)
    return [quantityLine('aqueousDepthMm', depth.value - cornea.value / 1000)]
  return [`${quantityLine('anteriorChamberDepthMm', depth.value)}${from === undefined ? '' : ` from ${from.value}`}`]
}

function refractionLine({ value }: NonNullable<Case['refraction']>): string {
  const { sphereD, cylinderD, axisDeg } = value
  const cylinder = cylinderD === undefined ? '' : `/${withSign(cylinderD)}${axisDeg === undefined ? '' : `x${digits(axisDeg)}`}`
  return `refraction ${withSign(sphereD)}${cylinder}`
}

const ACUITY_NAMES: Readonly<Record<string, string>> = { 'best corrected': 'BCVA', unaided: 'UCVA', pinhole: 'pinhole' }
function acuityLines({ value }: Stated<string>): readonly string[] {
  return value.split('; ').map((part) => {
    const kind = Object.keys(ACUITY_NAMES).find((name) => part.endsWith(` ${name}`)) ?? ''
    const bare = kind === '' ? part : part.slice(0, -kind.length - 1)
    return `${ACUITY_NAMES[kind] ?? 'VA'} ${bare.replace(/ decimal$/, '')}`
  })
}

function nucleusLine({ value }: NonNullable<Case['nucleus']>): string {
  if (value.scale === 'colour') return `nucleus ${value.grade}`
  return `${SCALE_NAMES[value.scale]} grade ${value.grade}${value.scale === 'plus' ? '+' : ''}`
}

const fellowLines = (fellow: NonNullable<Case['fellow']>, index: number): readonly string[] =>
  Object.entries(fellow).flatMap(([field, stated]): readonly string[] => {
    if (stated === undefined) return []
    const { value } = stated
    if (field === 'meanKeratometryD') return [`fellow eye mean K ${atIndex(Number(value), index)} D`]
    if (field === 'refractionD') return [`fellow eye refraction ${withSign(Number(value))}`]
    if (field === 'predictionErrorD') return [`fellow eye prediction error ${withSign(Number(value))}`]
    if (field === 'lensStatus') return [`fellow eye ${value}`]
    if (field === 'acuity') return acuityLines({ ...stated, value: String(value) }).map((line) => `fellow eye ${line}`)
    if (typeof value === 'boolean') return [findingOf(`fellow.${field}`, value) ?? '']
    return typeof value === 'number' && field in QUANTITIES ? [`fellow eye ${quantityLine(field as QuantityName, value)}`] : []
  })

const CONSTANT_NAMES: Readonly<Record<string, string>> = {
  aConstant: 'A constant',
  surgeonFactorMm: 'SF',
  personalisedAcdMm: 'pACD',
  haigisA0: 'a0',
  haigisA1: 'a1',
  haigisA2: 'a2',
}
const constantLines = (constants: NonNullable<Case['lensConstants']>): readonly string[] =>
  Object.entries(constants).flatMap(([name, stated]): readonly string[] => {
    if (stated === undefined) return []
    return name === 'modality'
      ? [`${stated.value} constants`]
      : [`${CONSTANT_NAMES[name] ?? name} ${digits(Number(stated.value))}`]
  })

/** The facts that need words of their own; everything else is a quantity or a finding of the tables. */
function specialLines(field: string, whole: Case): readonly string[] | undefined {
  switch (field) {
    case 'eye':
      return []
    case 'ageYears':
      return [`age ${whole.ageYears?.value ?? ''}`]
    case 'sex':
      return [whole.sex?.value ?? '']
    case 'axialLengthMethod':
      return whole.axialLengthMethod === undefined ? [] : [METHODS[whole.axialLengthMethod.value]]
    case 'keratometry':
      return whole.keratometry === undefined ? [] : corneaLines(whole.keratometry)
    case 'anteriorChamberDepthMm':
      return chamberLine(whole)
    case 'anteriorChamberDepthFrom':
      return []
    case 'refraction':
      return whole.refraction === undefined ? [] : [refractionLine(whole.refraction)]
    case 'acuity':
      return whole.acuity === undefined ? [] : acuityLines(whole.acuity)
    case 'biometryAgeMonths':
      return [`biometry ${digits(whole.biometryAgeMonths?.value ?? 0)} months old`]
    case 'nucleus':
      return whole.nucleus === undefined ? [] : [nucleusLine(whole.nucleus)]
    case 'fellow':
      return fellowLines(whole.fellow ?? {}, whole.keratometry?.value.indexGiven ?? STANDARD_KERATOMETRIC_INDEX)
    case 'lensConstants':
      return constantLines(whole.lensConstants ?? {})
    case 'surgeonGrade':
      return [`surgeon: ${whole.surgeonGrade?.value.replace('-', ' ') ?? ''}`]
    case 'surgeryDate':
      return [`surgery ${whole.surgeryDate?.value ?? ''}`]
    case 'targetRefractionD':
      return [`target ${withSign(whole.targetRefractionD?.value ?? 0)}`]
    case 'lensLabel':
      return [`lens: ${whole.lensLabel?.value ?? ''}`]
    case 'question':
      return (whole.question?.value ?? '').split('\n').map((line) => `Q: ${line}`)
    case 'notUnderstood':
      return (whole.notUnderstood ?? []).map(({ text }) => `kept words: ${text}`)
    default:
      return undefined
  }
}

/**
 * A case as a message that is read back as the same case: one fact a line, units and signs always written.
 * Sources, lines and what was assumed are those of the new message.
 */
export function writeCase(whole: Case): string {
  const eye = whole.eye === undefined ? [] : [whole.eye.value === 'right' ? 'RE' : 'LE']
  const lines = Object.entries(whole).flatMap(([field, stated]): readonly string[] => {
    const special = specialLines(field, whole)
    if (special !== undefined) return special
    const { value } = stated as Stated<number | string | boolean>
    if (typeof value === 'number') return field in QUANTITIES ? [quantityLine(field as QuantityName, value)] : []
    return [findingOf(field, value) ?? '']
  })
  return [...eye, ...lines].filter((line) => line !== '').join('\n')
}
