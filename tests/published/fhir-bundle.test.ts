import { readFileSync } from 'node:fs'
import { gunzipSync } from 'node:zlib'
import { Ajv, type ValidateFunction } from 'ajv'
import draft6 from 'ajv/dist/refs/json-schema-draft-06.json' with { type: 'json' }
import fhir from 'fhir'
import { beforeAll, describe, expect, it } from 'vitest'
import { contentHash } from '../../src/trail/chain.js'
import { exportFhir } from '../../src/trail/fhir-bundle.js'
import { SIDE_OF_LOINC } from '../../src/trail/fhir-codes.js'
import { inventedConsult, inventedWholePlan } from '../trail/an-invented-consult.js'
import { collected, trailInMemory } from '../trail/trail-in-memory.js'

/**
 * Source: HL7 FHIR R4 (4.0.1, 2019), `fhir.schema.json` as published with the standard (CC0), unchanged but packed;
 * SHA-256 of its text 15b9548af6412c44faaa411456e0652542de286fd1c58ef882b09bdc8947909d.
 * Second opinion: the R4 structure definitions and value sets in the library `fhir`. Each finds what the other misses.
 */
const SCHEMA = new URL('fhir-r4/fhir.schema.json.gz', import.meta.url)

interface Resource {
  readonly resourceType: string
  readonly [element: string]: unknown
}
interface Bundle {
  readonly resourceType: string
  readonly type: string
  readonly entry: readonly { readonly fullUrl: string; readonly resource: Resource }[]
}

const byType = new Map<string, ValidateFunction>()
const ajv = new Ajv({ strict: false })

/** Resource by resource: on a whole Bundle any one fault gives an error for each kind of resource there is. */
function schemaErrors(resource: Resource): readonly string[] {
  const { resourceType } = resource
  const validate =
    byType.get(resourceType) ?? ajv.compile({ $ref: `http://hl7.org/fhir/json-schema/4.0#/definitions/${resourceType}` })
  byType.set(resourceType, validate)
  validate(resource)
  return (validate.errors ?? []).map(
    ({ instancePath, message, params }) => `${instancePath} ${message} ${JSON.stringify(params)}`,
  )
}

const libraryErrors = (bundle: unknown): readonly string[] =>
  new fhir.Fhir()
    .validate(bundle as object)
    .messages.flatMap(({ severity, location, message }) =>
      severity === 'error' || severity === 'fatal' ? [`${location}: ${message}`] : [],
    )

/** A JSON value and every one within it, with its path. */
function* within(value: unknown, path = ''): Generator<readonly [string, Readonly<Record<string, unknown>>]> {
  if (typeof value !== 'object' || value === null) return
  if (!Array.isArray(value)) yield [path, value as Readonly<Record<string, unknown>>]
  for (const [key, part] of Object.entries(value)) yield* within(part, `${path}/${key}`)
}

const twoValues = (bundle: Bundle): readonly string[] =>
  [...within(bundle)]
    .filter(([, part]) => Object.keys(part).filter((key) => /^value[A-Z]/.test(key)).length > 1)
    .map(([path]) => path)

function unresolved(bundle: Bundle): readonly string[] {
  const known = new Set(bundle.entry.map(({ fullUrl }) => fullUrl))
  return [...within(bundle)].flatMap(([path, { reference }]) =>
    typeof reference === 'string' && !known.has(reference) ? [path] : [],
  )
}

const SITES: Readonly<Record<string, string>> = { '362502000': 'right', '362503005': 'left' }
interface Coded {
  readonly coding?: readonly { readonly code: string }[]
}
const wrongSides = (bundle: Bundle): readonly string[] =>
  bundle.entry.flatMap(({ fullUrl, resource }) => {
    const side = ((resource['code'] as Coded | undefined)?.coding ?? [])
      .map(({ code }) => SIDE_OF_LOINC.get(code))
      .find((found) => found)
    const site = (resource['bodySite'] as Coded | undefined)?.coding?.[0]?.code
    return resource.resourceType === 'Observation' && side !== undefined && SITES[site ?? ''] !== side ? [fullUrl] : []
  })

let bundle: Bundle
let text: string

beforeAll(async () => {
  const schema = JSON.parse(gunzipSync(readFileSync(SCHEMA)).toString('utf8')) as { id: string }
  const { id, ...rest } = schema
  ajv.addMetaSchema(draft6)
  ajv.addSchema({ ...rest, $id: id })

  const consult = await inventedConsult()
  const bare = await inventedWholePlan('AL 22.10, K 44.0, no fundal view')
  const [asked] = consult.events
  if (asked?.type !== 'consult-asked') throw new Error('the invented consult begins with its asking')
  const { question: _question, ...withoutQuestion } = asked
  const sideless = { ...withoutQuestion, ref: 'QUAY-2', planHash: contentHash(bare) }
  const { trail } = trailInMemory([...consult.events, sideless], [...consult.plans, bare])
  let ids = 0
  const uuid = () => {
    ids += 1
    return `00000000-0000-4000-8000-${String(ids).padStart(12, '0')}`
  }
  text = (await collected(exportFhir(trail, { names: false, soundings: '0.1.0', now: '2026-05-01T09:00:00Z', uuid }))).join('')
  bundle = JSON.parse(text) as Bundle
}, 60_000)

const ofType = (resourceType: string): readonly Resource[] =>
  bundle.entry.map(({ resource }) => resource).filter((resource) => resource.resourceType === resourceType)

describe('the FHIR R4 bundle of two invented consults', () => {
  it('is right by the schema of R4, resource by resource', () => {
    expect(bundle.entry.length).toBeGreaterThan(40)
    expect(
      bundle.entry.flatMap(({ resource }) => schemaErrors(resource).map((error) => `${resource.resourceType}${error}`)),
    ).toEqual([])
  }, 60_000)

  it('is right by the structure definitions and value sets of R4', () => {
    expect(libraryErrors(bundle)).toEqual([])
  }, 60_000)

  it('has one value where one is allowed, references that resolve, and codes on the side of their body site', () => {
    expect(twoValues(bundle)).toEqual([])
    expect(unresolved(bundle)).toEqual([])
    expect(wrongSides(bundle)).toEqual([])
  })

  it('holds each kind of resource that the mapping names', () => {
    const kinds = new Set(bundle.entry.map(({ resource }) => resource.resourceType))
    for (const kind of [
      ...['Patient', 'Device', 'PractitionerRole', 'ServiceRequest', 'Communication', 'Observation', 'DetectedIssue'],
      ...['GuidanceResponse', 'RiskAssessment', 'CarePlan', 'Task', 'Provenance', 'AuditEvent'],
    ]) {
      expect(kinds, kind).toContain(kind)
    }
    expect(bundle.type).toBe('collection')
  })

  it('says nothing of who the patient is or when anything was, and names no colleague', () => {
    expect(ofType('Patient')).toEqual([{ resourceType: 'Patient' }, { resourceType: 'Patient' }])
    const days = [...text.matchAll(/"(\d{4}-\d{2}-\d{2})/g)].map(([, day]) => day)
    expect(days.filter((day) => !day?.startsWith('2000-') && day !== '2026-05-01')).toEqual([])
    for (const name of ['Wren', 'Alder', 'Sorrel', 'slack:']) expect(text).not.toContain(`"${name}`)
    expect(text).toContain('"display":"colleague 2"')
  })

  it('keeps an age over 89 as 90 or more', () => {
    const ages = ofType('Observation').filter(({ code }) => JSON.stringify(code).includes('"age"'))
    expect(ages).toMatchObject([{ valueQuantity: { value: 90, comparator: '>=', code: 'a' } }])
  })

  it('puts the corrected axial length beside the first one, both on the left eye', () => {
    const lengths = ofType('Observation').filter(({ code }) => JSON.stringify(code).includes('66067-0'))
    expect(lengths).toMatchObject([
      { status: 'final', valueQuantity: { value: 29.6, code: 'mm' }, method: { text: 'Optical biometry' } },
      { status: 'corrected', valueQuantity: { value: 29.84, code: 'mm' } },
    ])
  })

  it('gives no side to an eye that was not named', () => {
    const length = ofType('Observation').find(
      ({ valueQuantity }) => (valueQuantity as { value?: number } | undefined)?.value === 22.1,
    )
    expect(length).toMatchObject({ code: { coding: [{ code: 'axial-length' }] } })
    expect(length).not.toHaveProperty('bodySite')
  })

  it('keeps the sign of a lens power, and gives no probability as a number', () => {
    expect(JSON.stringify(ofType('CarePlan'))).toContain('Lens \u22122.5 D')
    expect(ofType('Observation').map(({ valueQuantity }) => (valueQuantity as { value?: number } | undefined)?.value)).toContain(
      -2.5,
    )
    expect(text).not.toMatch(/"probability(Decimal|Range)"/)
  })

  it('lets the surgeon, never the bot, be the author of the decision', () => {
    const [device] = ofType('Device')
    const deviceUrl = bundle.entry.find(({ resource }) => resource === device)?.fullUrl
    expect(ofType('CarePlan')).toHaveLength(1)
    expect(ofType('CarePlan')).not.toMatchObject([{ author: { reference: deviceUrl } }])
    expect(ofType('DetectedIssue').every(({ author }) => (author as { reference: string }).reference === deviceUrl)).toBe(true)
    expect(ofType('DetectedIssue').filter(({ mitigation }) => mitigation !== undefined)).toHaveLength(1)
  })

  it('hands on no comment that its writer took back', () => {
    expect(text).toContain('flat on B-scan')
    expect(text).not.toContain('said in the wrong thread')
  })
})

/** A planted fault a check, so that none of them passes everything. */
describe('the checks of the bundle', () => {
  type Change = (resource: Resource) => Resource
  type Check = (broken: Bundle) => readonly string[]

  function withOne(resourceType: string, change: Change): Bundle {
    const place = bundle.entry.findIndex(
      ({ resource }) => resource.resourceType === resourceType && (resourceType !== 'Observation' || 'bodySite' in resource),
    )
    const entry = bundle.entry[place]
    if (!entry) throw new Error(`the bundle has a ${resourceType}`)
    return { ...bundle, entry: bundle.entry.with(place, { ...entry, resource: change(entry.resource) }) }
  }
  const bySchema: Check = (broken) => broken.entry.flatMap(({ resource }) => schemaErrors(resource))
  const withoutCode: Change = ({ code: _code, ...rest }) => rest as Resource

  it.each<readonly [string, string, Change, Check]>([
    ['an unknown property', 'Observation', (resource) => ({ ...resource, colour: 'brown' }), bySchema],
    ['a number as text', 'Observation', (resource) => ({ ...resource, valueQuantity: { value: '29.6' } }), bySchema],
    ['a date where an instant is due', 'Provenance', (resource) => ({ ...resource, recorded: '2000-01-01' }), bySchema],
    ['a status that is none', 'Observation', (resource) => ({ ...resource, status: 'done' }), libraryErrors],
    ['a missing code', 'Observation', withoutCode, libraryErrors],
    [
      'two values at once',
      'Observation',
      (resource) => ({ ...resource, valueString: 'x', valueQuantity: { value: 1 } }),
      twoValues,
    ],
    [
      'a reference to nothing',
      'Observation',
      (resource) => ({ ...resource, subject: { reference: 'urn:uuid:none' } }),
      unresolved,
    ],
  ])(
    'find %s',
    (_what, resourceType, change, check) => {
      expect(check(withOne(resourceType, change))).not.toEqual([])
    },
    60_000,
  )

  it('find a code of the other eye', () => {
    const copy = JSON.parse(text.replaceAll('66067-0', '64742-0')) as Bundle
    expect(wrongSides(copy)).not.toEqual([])
  })
})
