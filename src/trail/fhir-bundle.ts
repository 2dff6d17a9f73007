import { fold } from '../consult/consult.js'
import type { Person } from '../consult/people.js'
import { type Chosen, chosenConsults } from './chosen-consults.js'
import type { Entry, Reference } from './fhir-codes.js'
import * as codes from './fhir-codes.js'
import { type BundleParts, consultEntries, DAY_OF_ASK } from './fhir-consult.js'
import { pseudonyms } from './pseudonyms.js'
import type { TrailReading } from './trail-store.js'

export interface FhirChoice extends Chosen {
  /** Colleagues by name; otherwise they are numbered anew in each export. */
  readonly names: boolean
  /** Version of the program that writes. */
  readonly soundings: string
  /** ISO time of the export itself, UTC. */
  readonly now: string
  /** A fresh random UUID. */
  readonly uuid: () => string
}

/**
 * The chosen consults as one FHIR R4 Bundle of type `collection`: it is to be read, and asks nothing of a server.
 * A patient is a resource without a single element. Dates count days from the ask of each consult. One consult is held
 * at a time, besides the colleagues met so far.
 * @returns the JSON text in pieces, an entry a line
 */
export async function* exportFhir(
  trail: Pick<TrailReading, 'links' | 'events' | 'plan'>,
  { names, soundings, now, uuid, ...chosen }: FhirChoice,
): AsyncGenerator<string> {
  const freshId = () => `urn:uuid:${uuid()}`
  const called = pseudonyms(names)
  const people = new Map<string, Reference>()
  const device: Entry = {
    fullUrl: freshId(),
    resource: {
      resourceType: 'Device',
      status: 'active',
      deviceName: [{ name: 'Soundings', type: 'user-friendly-name' }],
      version: [{ value: soundings }],
    },
  }
  const parts: BundleParts = {
    freshId,
    device: { reference: device.fullUrl },
    person(person, add) {
      const known = people.get(person.id)
      if (known) return known
      const entry = practitionerRole(person, called.person(person), freshId())
      people.set(person.id, { reference: entry.fullUrl })
      add(entry)
      return { reference: entry.fullUrl }
    },
  }
  const tag = codes.own('days-from-ask', `Dates count days from the ask of each consult: ${DAY_OF_ASK} is the day of the ask`)
  yield `{"resourceType":"Bundle","meta":${JSON.stringify({ tag: [tag] })},"type":"collection","timestamp":${JSON.stringify(now)},"entry":[\n`
  yield JSON.stringify(device)
  for await (const events of chosenConsults(trail, chosen)) {
    const consult = fold(events)
    if (consult.status === 'not-asked') continue
    const plans = []
    for (const { planHash } of consult.revisions) plans.push(await trail.plan(planHash))
    for (const entry of consultEntries(consult, plans, parts)) yield `,\n${JSON.stringify(entry)}`
  }
  yield `,\n${JSON.stringify({ fullUrl: freshId(), resource: auditOf(now, device.fullUrl) })}\n]}\n`
}

const practitionerRole = ({ grade, field }: Person, name: string, fullUrl: string): Entry => ({
  fullUrl,
  resource: {
    resourceType: 'PractitionerRole',
    practitioner: { display: name },
    code: [{ text: grade ?? 'grade not stated' }],
    ...(field === undefined ? {} : { specialty: [{ text: field }] }),
  },
})

/** That this export was made. Type 110106 is DICOM's "Export" (PS3.16, CID 400), which FHIR's audit event types include. */
const auditOf = (now: string, device: string) => ({
  resourceType: 'AuditEvent',
  type: codes.coding(codes.DICOM, '110106', 'Export'),
  action: 'R',
  recorded: now,
  outcome: '0',
  agent: [{ who: { display: 'Whoever ran the export' }, requestor: true }],
  source: { observer: { reference: device } },
})
