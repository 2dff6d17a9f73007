import { type AskedConsult, decisionOf } from '../consult/consult.js'
import { OPINION_WORDS, type Opinion } from '../consult/opinion.js'
import type { Person } from '../consult/people.js'
import type { Plan } from '../plan/plan.js'
import type { Eye } from '../terms/eye.js'
import { lensPower } from '../terms/power.js'
import type { Indicator } from '../terms/steps.js'
import { daysBetween } from './chosen-consults.js'
import type { Entry, Reference, Resource } from './fhir-codes.js'
import * as codes from './fhir-codes.js'
import { type Observed, observationsOf } from './fhir-observations.js'
import { outcomeObservations } from './fhir-outcome.js'

/** What the whole bundle shares: fresh addresses, the program itself, and colleagues. */
export interface BundleParts {
  readonly freshId: () => string
  readonly device: Reference
  /** Gives the colleague's reference, and adds them to the bundle the first time. */
  readonly person: (person: Person, add: (entry: Entry) => void) => Reference
}

/** Dates count days from the ask: this day stands for the day of the ask. */
export const DAY_OF_ASK = '2000-01-01'
const DAY_MS = 24 * 60 * 60 * 1000

/** An instant that says how many days after the ask something was, and nothing else. */
const shifted = (askedAt: string, when: string): string =>
  `${new Date(Date.parse(DAY_OF_ASK) + daysBetween(askedAt, when) * DAY_MS).toISOString().slice(0, 10)}T00:00:00Z`

/** HL7 CDS Hooks' indicators as the severities of a DetectedIssue; no standard says so, this project does. */
const SEVERITY: Readonly<Record<Indicator, 'high' | 'moderate' | 'low'>> = { critical: 'high', warning: 'moderate', info: 'low' }

const STATUS: Readonly<Record<AskedConsult['status'], 'active' | 'completed' | 'revoked'>> = {
  asked: 'active',
  decided: 'active',
  operated: 'active',
  closed: 'completed',
  withdrawn: 'revoked',
}

/** The plan of each revision, oldest first; absent where it was erased. */
export type RevisionPlans = readonly (Plan | undefined)[]

/** One consult as FHIR R4 resources. What the bot made and what a colleague said are kept apart by Provenance. */
export function consultEntries(consult: AskedConsult, plans: RevisionPlans, parts: BundleParts): readonly Entry[] {
  const entries: Entry[] = []
  const put = (resource: Resource): Reference => {
    const fullUrl = parts.freshId()
    entries.push({ fullUrl, resource })
    return { reference: fullUrl }
  }
  const person = (who: Person): Reference => parts.person(who, (entry) => entries.push(entry))
  const day = (when: string): string => shifted(consult.askedAt, when)

  const plan = plans.at(-1)
  const eye = plan?.case.eye?.value
  const patient = put({ resourceType: 'Patient' })
  const asker = person(consult.askedBy)
  const request = put({
    resourceType: 'ServiceRequest',
    identifier: [{ system: codes.OWN_CODES, value: consult.ref }],
    status: STATUS[consult.status],
    intent: 'proposal',
    code: { text: 'Second opinion before cataract operation' },
    subject: patient,
    ...(eye ? { bodySite: [codes.bodySite(eye)] } : {}),
    requester: asker,
    authoredOn: day(consult.askedAt),
  })
  const said = (from: Reference, at: string, text: string, answers?: Reference): Reference =>
    put({
      resourceType: 'Communication',
      status: 'completed',
      subject: patient,
      basedOn: [request],
      ...(answers ? { inResponseTo: [answers] } : {}),
      sent: day(at),
      sender: from,
      payload: [{ contentString: text }],
    })
  const made = (
    target: readonly Reference[],
    at: string,
    agent: 'assembler' | 'author',
    who: Reference,
    source: Reference,
  ): void => {
    if (target.length === 0) return
    put({
      resourceType: 'Provenance',
      target,
      recorded: day(at),
      agent: [
        {
          type: codes.concept(codes.hl7('provenance-participant-type', agent, agent === 'author' ? 'Author' : 'Assembler')),
          who,
        },
      ],
      entity: [{ role: 'source', what: source }],
    })
  }

  const ask = said(asker, consult.askedAt, consult.question ?? 'An opinion is asked; no question was typed.')
  const revised = consult.revisions
    .slice(1)
    .map(({ by, at, changed }) => said(person(by), at, `Case changed. ${changed.join(' ')}`, ask))
  const measured = observationsThrough(plans).map(({ observed, status }) =>
    put({ resourceType: 'Observation', status, subject: patient, ...observed.content }),
  )
  if (measured.length > 0) made(measured, consult.askedAt, 'author', asker, revised.at(-1) ?? ask)

  if (plan) {
    const computed = planEntries(plan, { consult, patient, request, ask, measured, person, day, put, device: parts.device })
    made(computed, consult.revisions.at(-1)?.at ?? consult.askedAt, 'assembler', parts.device, revised.at(-1) ?? ask)
  }
  for (const { by, at, opinion } of consult.opinions) {
    const who = person(by)
    made([said(who, at, opinionInWords(opinion), ask)], at, 'author', who, ask)
  }
  // What its writer took back in the chat is not handed on.
  for (const { by, at, text, deletedAt } of consult.comments) if (deletedAt === undefined) said(person(by), at, text, ask)
  for (const task of consult.tasks) {
    const owner = [consult.askedBy, ...consult.opinions.map(({ by }) => by)].find(
      ({ id, name }) => task.owner === id || task.owner === name,
    )
    put({
      resourceType: 'Task',
      status: task.done ? 'completed' : 'requested',
      intent: 'proposal',
      description: task.what,
      focus: request,
      for: patient,
      requester: person(task.openedBy),
      ...(owner ? { owner: person(owner) } : {}),
      ...(task.due === undefined ? {} : { restriction: { period: { end: day(task.due) } } }),
      ...(task.done?.result === undefined ? {} : { note: [{ text: task.done.result }] }),
    })
  }
  const decided = decisionOf(consult)
  if (decided) {
    const author = person(decided.by)
    made([put(carePlan(decided, patient, author, day))], decided.at, 'author', author, ask)
  }
  for (const { by, at, outcome } of consult.outcomes) {
    const when = outcome.on === undefined ? {} : { effectiveDateTime: day(outcome.on) }
    const found = outcomeObservations(outcome, eye).map((observed) =>
      put({ resourceType: 'Observation', status: 'final', subject: patient, ...observed.content, ...when }),
    )
    const teller = person(by)
    const note = outcome.note === undefined ? [] : [said(teller, at, outcome.note, ask)]
    made([...found, ...note], at, 'author', teller, ask)
  }
  return entries
}

/** A value that was corrected stands beside the one that it corrects. */
function observationsThrough(
  plans: RevisionPlans,
): readonly { readonly observed: Observed; readonly status: 'final' | 'corrected' }[] {
  const last = new Map<string, string>()
  return plans.flatMap((plan) =>
    (plan ? observationsOf(plan.case) : []).flatMap((observed) => {
      const former = last.get(observed.key)
      const now = JSON.stringify(observed.content)
      last.set(observed.key, now)
      return former === now ? [] : [{ observed, status: former === undefined ? ('final' as const) : ('corrected' as const) }]
    }),
  )
}

interface Within {
  readonly consult: AskedConsult
  readonly patient: Reference
  readonly request: Reference
  readonly ask: Reference
  readonly measured: readonly Reference[]
  readonly device: Reference
  readonly person: (who: Person) => Reference
  readonly day: (when: string) => string
  readonly put: (resource: Resource) => Reference
}

/** What the bot computed: cautions, risks in words, and what it misses. */
function planEntries(plan: Plan, within: Within): readonly Reference[] {
  const { consult, patient, request, ask, measured, device, person, day, put } = within
  const at = day(consult.revisions.at(-1)?.at ?? consult.askedAt)
  const decided = decisionOf(consult)
  const overriding = new Map(decided?.decision.overrides.map(({ precaution, because }) => [precaution, because]))
  const issues = plan.precautions
    .filter(({ finding, place }) => finding === 'fires' && place === 'eye')
    .map(({ id, indicator, text, why }) => {
      const because = overriding.get(id)
      return put({
        resourceType: 'DetectedIssue',
        status: 'final',
        severity: SEVERITY[indicator],
        code: codes.concept(codes.own(id, text)),
        patient,
        identifiedDateTime: at,
        author: device,
        implicated: [request],
        ...(measured.length === 0 ? {} : { evidence: [{ detail: measured }] }),
        detail: `${text} ${why}`,
        ...(decided && because !== undefined
          ? { mitigation: [{ action: { text: `Not followed: ${because}` }, date: day(decided.at), author: person(decided.by) }] }
          : {}),
      })
    })
  const risks = plan.risks.map(({ id, about, words, model, population, years, caveats }) =>
    put({
      resourceType: 'RiskAssessment',
      status: 'final',
      code: codes.concept(codes.own(id, about)),
      subject: patient,
      occurrenceDateTime: at,
      performer: device,
      method: { text: `${model}; ${population}; ${years}` },
      ...(measured.length === 0 ? {} : { basis: measured }),
      // A probability without its model, population and years says more than it knows, so it stands in words.
      prediction: [{ outcome: { text: about }, qualitativeRisk: { text: words } }],
      ...(caveats.length === 0 ? {} : { note: caveats.map((text) => ({ text })) }),
    }),
  )
  const gaps = plan.gaps
    .filter(({ state }) => state === 'missing')
    .map(({ fact, label, wouldChange }) =>
      put({
        resourceType: 'GuidanceResponse',
        requestIdentifier: { system: 'urn:ietf:rfc:3986', value: ask.reference },
        moduleUri: `${codes.OWN_RULES}/${plan.versions.rules}`,
        status: 'data-required',
        subject: patient,
        occurrenceDateTime: at,
        performer: device,
        reasonCode: [{ text: `${label} not given. ${wouldChange}` }],
        dataRequirement: [
          { type: 'Observation', codeFilter: [{ path: 'code', code: [codeOfFact(fact, label, plan.case.eye?.value)] }] },
        ],
      }),
    )
  return [...issues, ...risks, ...gaps]
}

const SIDED: Readonly<Record<string, codes.SidedCode>> = {
  axialLengthMm: codes.AXIAL_LENGTH,
  centralCornealThicknessUm: codes.CORNEAL_THICKNESS,
  endothelialCellDensityPerMm2: codes.CELL_DENSITY,
}
const codeOfFact = (fact: string, label: string, eye: Eye | undefined) =>
  (eye && SIDED[fact]?.[eye]) ?? codes.own(codes.kebab(fact), label)

/** The surgeon's own decision, never the bot's. */
function carePlan(
  { at, decision }: NonNullable<ReturnType<typeof decisionOf>>,
  patient: Reference,
  author: Reference,
  day: (when: string) => string,
): Resource {
  const step = (description: string) => ({ detail: { kind: 'Task', status: 'not-started', description } })
  const { planA, planB, trigger, lens, lensBecause } = decision
  return {
    resourceType: 'CarePlan',
    status: 'draft',
    intent: 'option',
    title: 'Plan the surgeon settled on',
    subject: patient,
    created: day(at),
    author,
    activity: [
      step(`Plan A: ${planA}`),
      ...(planB === undefined ? [] : [step(`Plan B: ${planB}`)]),
      ...(trigger === undefined ? [] : [step(`Change to plan B when: ${trigger}`)]),
      ...(lens === undefined ? [] : [step(`Lens ${lensPower(lens.powerD)}${lens.label === undefined ? '' : `, ${lens.label}`}`)]),
      ...(lensBecause === undefined ? [] : [step(`Other lens than recommended because: ${lensBecause}`)]),
    ],
  }
}

const opinionInWords = ({ kind, steps, sentence, wouldChangeMind }: Opinion): string =>
  [
    OPINION_WORDS[kind],
    ...(steps.length === 0 ? [] : [`about ${steps.join(', ')}`]),
    ...(sentence === undefined ? [] : [sentence]),
    ...(wouldChangeMind === undefined ? [] : [`Would change their mind: ${wouldChangeMind}`]),
  ].join('. ')
