import type { Eye } from '../terms/eye.js'

/** Any FHIR R4 resource, as JSON. The tests hold it against the published schema of R4. */
export interface Resource {
  readonly resourceType: string
  readonly [element: string]: unknown
}

export interface Entry {
  readonly fullUrl: string
  readonly resource: Resource
}

export interface Reference {
  readonly reference?: string
  readonly display?: string
}

interface Coding {
  readonly system: string
  readonly code: string
  readonly display: string
}

export const LOINC = 'http://loinc.org'
export const SNOMED = 'http://snomed.info/sct'
export const DICOM = 'http://dicom.nema.org/resources/ontology/DCM'
export const UCUM = 'http://unitsofmeasure.org'
const TERMINOLOGY = 'http://terminology.hl7.org/CodeSystem'
/** Where no standard has a code. The name resolves to nothing (RFC 2606); a department may put its own in its place. */
const OWN = 'https://soundings.invalid/fhir'
export const OWN_CODES = `${OWN}/CodeSystem/consult`
export const OWN_RULES = `${OWN}/rules`

export const coding = (system: string, code: string, display: string): Coding => ({ system, code, display })
export const concept = (...codings: readonly Coding[]) => ({ coding: codings })
export const hl7 = (codeSystem: string, code: string, display: string): Coding =>
  coding(`${TERMINOLOGY}/${codeSystem}`, code, display)

/** "axialLengthSdMm" as "axial-length-sd-mm". */
export const kebab = (key: string): string => key.replace(/([a-z0-9])([A-Z])/g, '$1-$2').toLowerCase()
export const own = (code: string, display: string): Coding => coding(OWN_CODES, code, display)

/** SNOMED CT codes of the eye as HL7 cda-eyecare lists them in its value set of target sites. */
const BODY_SITES: Readonly<Record<Eye, Coding>> = {
  right: coding(SNOMED, '362502000', 'Entire right eye'),
  left: coding(SNOMED, '362503005', 'Entire left eye'),
}
export const bodySite = (eye: Eye) => concept(BODY_SITES[eye])

/** LOINC has a code of its own for each eye. */
export interface SidedCode {
  readonly right: Coding
  readonly left: Coding
}
export const AXIAL_LENGTH: SidedCode = {
  right: coding(LOINC, '64742-0', 'Right eye Axial length'),
  left: coding(LOINC, '66067-0', 'Left eye Axial length'),
}
export const CORNEAL_THICKNESS: SidedCode = {
  right: coding(LOINC, '64744-6', 'Cornea thickness Right eye'),
  left: coding(LOINC, '66068-8', 'Cornea thickness Left eye'),
}
export const CELL_DENSITY: SidedCode = {
  right: coding(LOINC, '100070-2', 'Right cornea Cell density'),
  left: coding(LOINC, '100071-0', 'Left cornea Cell density'),
}
/** Every LOINC code above with its eye, so that a reader or a test can hold code and site together. */
export const SIDE_OF_LOINC: ReadonlyMap<string, Eye> = new Map(
  [AXIAL_LENGTH, CORNEAL_THICKNESS, CELL_DENSITY].flatMap(({ right, left }) => [
    [right.code, 'right' as const],
    [left.code, 'left' as const],
  ]),
)

/** A quantity with its UCUM code. */
export const quantity = (value: number, unit: string, code = unit) => ({ value, unit, system: UCUM, code })
export const dioptresOf = (value: number) => quantity(value, 'D', '[diop]')
export const millimetres = (value: number) => quantity(value, 'mm')
export const degreesOf = (value: number) => quantity(value, 'deg')
