import type { Plan } from '../plan/plan.js'
import { type Eye, otherEye } from '../terms/eye.js'
import * as codes from './fhir-codes.js'

type Case = Plan['case']

/** A measured or stated fact as an Observation, without its subject, status and time. */
export interface Observed {
  /** What it is of, and of which eye: the same in each revision of the case. */
  readonly key: string
  readonly content: Readonly<Record<string, unknown>>
}

const { concept, coding, own, quantity } = codes

const EXAM = [concept(codes.hl7('observation-category', 'exam', 'Exam'))]
const SOCIAL = [concept(codes.hl7('observation-category', 'social-history', 'Social History'))]

export const part = (code: object, value: object) => ({ code, ...value })
const asTyped = (source: string) => part({ text: 'As typed' }, { valueString: source })

export const sidedOrOwn = (sided: codes.SidedCode, eye: Eye | undefined, name: string, words: string) =>
  concept(eye === undefined ? own(name, words) : sided[eye])

export interface About {
  readonly name: string
  readonly words: string
  readonly code?: object
  readonly eye: Eye | undefined
  readonly category?: readonly object[]
}

export function observed(
  { name, words, code, eye, category = EXAM }: About,
  content: Readonly<Record<string, unknown>>,
): Observed {
  const site = eye === undefined ? {} : { bodySite: codes.bodySite(eye) }
  return { key: `${name} ${eye ?? ''}`, content: { category, code: code ?? concept(own(name, words)), ...site, ...content } }
}

const METHODS: Readonly<Record<NonNullable<Case['axialLengthMethod']>['value'], string>> = {
  optical: 'Optical biometry',
  'optical-segments': 'Optical biometry, sum of segments',
  immersion: 'Immersion ultrasound',
  contact: 'Contact ultrasound',
  ultrasound: 'Ultrasound',
}

/** The numbers of either eye that are read alike. */
interface EyeNumbers {
  readonly axialLengthMm?: Case['axialLengthMm']
  readonly anteriorChamberDepthMm?: Case['anteriorChamberDepthMm']
  readonly lensThicknessMm?: Case['lensThicknessMm']
  readonly centralCornealThicknessUm?: Case['centralCornealThicknessUm']
  readonly whiteToWhiteMm?: Case['whiteToWhiteMm']
  readonly endothelialCellDensityPerMm2?: Case['endothelialCellDensityPerMm2']
  readonly intraocularPressureMmHg?: Case['intraocularPressureMmHg']
  readonly acuity?: Case['acuity']
}

function numbersOf(given: EyeNumbers, eye: Eye | undefined, length: Readonly<Record<string, unknown>>): readonly Observed[] {
  const found: Observed[] = []
  const take = (
    about: Omit<About, 'eye'>,
    stated: { source: string } | undefined,
    content: () => Readonly<Record<string, unknown>>,
  ) => {
    if (stated) found.push(observed({ ...about, eye }, { component: [asTyped(stated.source)], ...content() }))
  }
  const { axialLengthMm: al, anteriorChamberDepthMm: acd, lensThicknessMm: lt, centralCornealThicknessUm: cct } = given
  const { whiteToWhiteMm: wtw, endothelialCellDensityPerMm2: cells, intraocularPressureMmHg: iop, acuity } = given
  take(
    { name: 'axial-length', words: 'Axial length', code: sidedOrOwn(codes.AXIAL_LENGTH, eye, 'axial-length', 'Axial length') },
    al,
    () => ({
      valueQuantity: codes.millimetres(al?.value ?? 0),
      ...length,
      component: [...((length['component'] as readonly object[] | undefined) ?? []), asTyped(al?.source ?? '')],
    }),
  )
  const depth = 'Anterior chamber depth, front of cornea to front of lens'
  take(
    {
      name: 'acd-epithelium',
      words: depth,
      code: concept(coding(codes.SNOMED, '31636006', 'Anterior chamber of eye structure'), own('acd-epithelium', depth)),
    },
    acd,
    () => ({
      valueQuantity: codes.millimetres(acd?.value ?? 0),
      method: concept(coding(codes.DICOM, '111776', 'Front Of Cornea To Front Of Lens')),
    }),
  )
  take(
    {
      name: 'lens-thickness',
      words: 'Lens thickness',
      code: concept(coding(codes.DICOM, '111778', 'Single or Anterior Lens'), own('lens-thickness', 'Lens thickness')),
    },
    lt,
    () => ({ valueQuantity: codes.millimetres(lt?.value ?? 0) }),
  )
  const thickness = sidedOrOwn(codes.CORNEAL_THICKNESS, eye, 'corneal-thickness', 'Central corneal thickness')
  take({ name: 'corneal-thickness', words: 'Central corneal thickness', code: thickness }, cct, () => ({
    valueQuantity: codes.millimetres((cct?.value ?? 0) / 1000),
  }))
  take({ name: 'white-to-white', words: 'Corneal diameter, white to white' }, wtw, () => ({
    valueQuantity: codes.millimetres(wtw?.value ?? 0),
  }))
  const density = sidedOrOwn(codes.CELL_DENSITY, eye, 'cell-density', 'Endothelial cell density')
  take({ name: 'cell-density', words: 'Endothelial cell density', code: density }, cells, () => ({
    valueQuantity: quantity(cells?.value ?? 0, '/mm2'),
  }))
  take({ name: 'pressure', words: 'Intraocular pressure', code: PRESSURE }, iop, () => ({
    valueQuantity: quantity(iop?.value ?? 0, 'mm[Hg]'),
  }))
  take({ name: 'acuity', words: 'Distance visual acuity', code: ACUITY }, acuity, () => ({ valueString: acuity?.value }))
  return found
}

export const PRESSURE = concept(coding(codes.SNOMED, '41633001', 'Intraocular pressure'))
export const ACUITY = concept(coding(codes.SNOMED, '251739003', 'Distance visual acuity'))
export const REFRACTION = concept(coding(codes.SNOMED, '251794006', 'Refraction measurement'))
export const EQUIVALENT = concept(own('spherical-equivalent', 'Spherical equivalent at the spectacle plane'))

function lengthDetails({ axialLengthMethod, axialLengthSdMm, axialLengthSnr }: Case): Readonly<Record<string, unknown>> {
  const sd = concept(coding(codes.DICOM, '111786', 'Standard Deviation of measurements used'))
  const snr = concept(coding(codes.DICOM, '111787', 'Signal to Noise Ratio'))
  return {
    ...(axialLengthMethod ? { method: { text: METHODS[axialLengthMethod.value] } } : {}),
    component: [
      ...(axialLengthSdMm ? [part(sd, { valueQuantity: codes.millimetres(axialLengthSdMm.value) })] : []),
      ...(axialLengthSnr ? [part(snr, { valueQuantity: quantity(axialLengthSnr.value, '1') })] : []),
    ],
  }
}

/** K by what it is, never by its order; the index that it was given at stands with it, the powers are at 1.3375. */
function keratometryOf(stated: NonNullable<Case['keratometry']>, eye: Eye | undefined): Observed {
  const { meanD, flatD, steepD, flatAxisDeg, steepAxisDeg, indexGiven } = stated.value
  const piece = (code: string, words: string, value: object | undefined) =>
    value === undefined ? [] : [part(concept(own(code, words)), { valueQuantity: value })]
  const power = (value: number | undefined) => (value === undefined ? undefined : codes.dioptresOf(value))
  const axis = (value: number | undefined) => (value === undefined ? undefined : codes.degreesOf(value))
  return observed(
    { name: 'keratometry', words: 'Keratometry at index 1.3375', eye },
    {
      component: [
        ...piece('k-mean', 'Mean keratometric power', power(meanD)),
        ...piece('k-flat', 'Flat keratometric power', power(flatD)),
        ...piece('k-flat-axis', 'Flat meridian', axis(flatAxisDeg)),
        ...piece('k-steep', 'Steep keratometric power', power(steepD)),
        ...piece('k-steep-axis', 'Steep meridian', axis(steepAxisDeg)),
        ...piece('keratometer-index-given', 'Keratometer index as given', quantity(indexGiven, '1')),
        asTyped(stated.source),
      ],
    },
  )
}

function refractionOf(stated: NonNullable<Case['refraction']>, eye: Eye | undefined): Observed {
  const { sphereD, cylinderD, axisDeg, sphericalEquivalentD } = stated.value
  const snomed = (code: string, words: string) => concept(coding(codes.SNOMED, code, words))
  return observed(
    { name: 'refraction', words: 'Refraction', code: REFRACTION, eye },
    {
      component: [
        part(snomed('251795007', 'Power of sphere'), { valueQuantity: codes.dioptresOf(sphereD) }),
        ...(cylinderD === undefined
          ? []
          : [part(snomed('251797004', 'Power of cylinder'), { valueQuantity: codes.dioptresOf(cylinderD) })]),
        ...(axisDeg === undefined
          ? []
          : [part(snomed('251799001', 'Axis of cylinder'), { valueQuantity: codes.degreesOf(axisDeg) })]),
        part(EQUIVALENT, { valueQuantity: codes.dioptresOf(sphericalEquivalentD) }),
        asTyped(stated.source),
      ],
    },
  )
}

/** Facts with a wording of their own above, and those that are no finding: the question, the target, what is planned for when. */
const TOLD_OTHERWISE = new Set<string>([
  ...['eye', 'ageYears', 'axialLengthMm', 'axialLengthMethod', 'axialLengthSdMm', 'axialLengthSnr', 'keratometry', 'refraction'],
  ...['anteriorChamberDepthMm', 'anteriorChamberDepthFrom', 'lensThicknessMm', 'centralCornealThicknessUm', 'whiteToWhiteMm'],
  ...[
    'endothelialCellDensityPerMm2',
    'intraocularPressureMmHg',
    'acuity',
    'fellow',
    'lensConstants',
    'question',
    'notUnderstood',
  ],
  ...['surgeryDate', 'targetRefractionD', 'lensLabel', 'nucleus'],
])

/** Facts of the person or of the plan, not of an eye. */
const OF_NO_EYE = new Set<string>([
  ...['sex', 'weightKg', 'alphaBlocker', 'anticoagulant', 'diabetes', 'canLieFlat', 'familyRetinalDetachment'],
  ...['surgeonGrade', 'surgeonCases', 'anaesthesia', 'biometryAgeMonths'],
])

/** Findings in the words of the case: yes or no, a choice, a bare number. */
function findingsOf(given: Case, eye: Eye | undefined): readonly Observed[] {
  return Object.entries(given).flatMap(([key, stated]) => {
    if (TOLD_OTHERWISE.has(key) || typeof stated !== 'object' || !('value' in stated)) return []
    const { value, source } = stated
    const content =
      typeof value === 'boolean'
        ? { valueBoolean: value }
        : typeof value === 'number'
          ? { valueQuantity: { value } }
          : { valueString: String(value) }
    const words = codes.kebab(key).replaceAll('-', ' ')
    const site = OF_NO_EYE.has(key) ? undefined : eye
    return [observed({ name: codes.kebab(key), words, eye: site }, { ...content, component: [asTyped(source)] })]
  })
}

/** Ages over 89 are kept as 90 or more. */
function ageOf({ ageYears }: Case): readonly Observed[] {
  if (!ageYears) return []
  const years = quantity(ageYears.value, 'a')
  const value = ageYears.value >= 90 ? { ...years, comparator: '>=' } : years
  return [observed({ name: 'age', words: 'Age in years', eye: undefined, category: SOCIAL }, { valueQuantity: value })]
}

function nucleusOf({ nucleus }: Case, eye: Eye | undefined): readonly Observed[] {
  if (!nucleus) return []
  const { scale, grade, band } = nucleus.value
  return [
    observed(
      { name: 'nucleus', words: 'Nuclear density', eye },
      {
        valueString: `${scale} ${grade}`,
        component: [
          part(concept(own('nucleus-band', 'Band by an approximate cross-walk')), { valueString: band }),
          asTyped(nucleus.source),
        ],
      },
    ),
  ]
}

/** What a case states of both eyes. A fact that was not stated has no Observation: unknown is never written as normal. */
export function observationsOf(given: Case): readonly Observed[] {
  const eye = given.eye?.value
  const other = eye && otherEye(eye)
  const { fellow } = given
  return [
    ...ageOf(given),
    ...numbersOf(given, eye, lengthDetails(given)),
    ...(given.keratometry ? [keratometryOf(given.keratometry, eye)] : []),
    ...(given.refraction ? [refractionOf(given.refraction, eye)] : []),
    ...nucleusOf(given, eye),
    ...findingsOf(given, eye),
    // Without the eye to be operated, "fellow eye" names no side.
    ...(fellow && other ? numbersOf(fellow, other, {}) : []),
  ]
}
