import { type AskedConsult, isOpen } from '../src/consult/consult.js'
import type { Person } from '../src/consult/people.js'
import { planInForce } from '../src/learning/lesson.js'
import { findingsChanged, numbersChanged } from '../src/learning/plan-differences.js'
import { type ConcernedPerson, decidedOn, peopleOf, type Touch, touchOf, type Wrong } from '../src/learning/recall.js'
import { factsOfCase } from '../src/plan/facts-of-case.js'
import type { Plan } from '../src/plan/plan.js'
import type { CompiledRules } from '../src/precautions/compile.js'
import { isAltered, type TrailReading } from '../src/trail/trail-store.js'
import { consultsIn } from './learning-lessons.js'
import type { ExitCode, Terminal } from './plan-command.js'
import type { RecallNote } from './recall-notes.js'

/** One of: something wrong in what plans stand on, or a rule set that says otherwise. */
export type Recalled =
  | { readonly wrong: Wrong; readonly words: string; readonly corrected?: Corrected }
  | { readonly rules: CompiledRules; readonly words: string }

/** What is said instead of what the program says now: what a corrected value would have made of a past plan. */
export interface Corrected {
  /** Why past plans cannot be computed with the corrected value; absent where they can. */
  readonly cannot?: string
  readonly changes: (plan: Plan) => Promise<readonly string[]>
}

export interface RecallNeeds {
  readonly trail: Pick<TrailReading, 'links' | 'events' | 'plan'>
  /** The same case on what the program stands on now. */
  readonly recompute: (plan: Plan) => Promise<Plan>
  /** Absent: people are listed and nobody is told. */
  readonly notify?: (notes: readonly RecallNote[]) => Promise<{ readonly put: number; readonly before: number }>
}

/** One consult that it touched. */
interface Touched {
  readonly consult: AskedConsult
  /** Sentences. */
  readonly stoodOn: readonly string[]
  readonly decided: readonly string[]
  readonly wouldChange: readonly string[]
  readonly people: readonly ConcernedPerson[]
}

interface Recall {
  readonly touched: readonly Touched[]
  readonly looked: number
  /** Consults in which it stood without being shown: a quiet rule, a row set aside. */
  readonly quiet: number
  readonly unread: number
}

/**
 * `soundings recall`: the open and past consults that something wrong touched, what would change, and whom to tell.
 * Consults stream through one by one; only those that were touched are held.
 */
export async function recallCommand(
  recalled: Recalled,
  { trail, recompute, notify }: RecallNeeds,
  options: { readonly json: boolean },
  terminal: Terminal,
): Promise<ExitCode> {
  const recall = await look(recalled, trail, recompute, terminal)
  if (options.json) for (const one of recall.touched) terminal.out(`${JSON.stringify(asJson(one))}\n`)
  else terminal.out(inWords(recalled, recall))
  if ('corrected' in recalled && recalled.corrected?.cannot !== undefined) terminal.err(`${recalled.corrected.cannot}\n`)
  if (notify && recall.touched.length > 0) {
    const { put, before } = await notify(recall.touched.map((one) => noteFor(recalled, one)))
    terminal.err(`${counted(put, 'note')} put on the way to the threads${before > 0 ? `, ${before} had been before` : ''}.\n`)
  }
  return 0
}

async function look(
  recalled: Recalled,
  trail: RecallNeeds['trail'],
  recompute: RecallNeeds['recompute'],
  terminal: Terminal,
): Promise<Recall> {
  const touched: Touched[] = []
  let [looked, quiet, unread] = [0, 0, 0]
  for await (const consult of consultsIn(trail)) {
    looked += 1
    const found = await lookAt(consult, recalled, trail, recompute).catch((fault: unknown) => {
      if (fault instanceof NoAnswer) throw fault.cause
      terminal.err(`${consult.ref}: ${fault instanceof Error ? fault.message : 'its plan cannot be read'}\n`)
      return 'unread' as const
    })
    if (found === 'unread') unread += 1
    else if (found === 'quiet') quiet += 1
    else if (found) touched.push(found)
  }
  return { touched, looked, quiet, unread }
}

async function lookAt(
  consult: AskedConsult,
  recalled: Recalled,
  trail: RecallNeeds['trail'],
  recompute: RecallNeeds['recompute'],
): Promise<Touched | 'quiet' | undefined> {
  const inForce = planInForce(consult)
  const plan = await planOf(trail, inForce)
  if ('rules' in recalled) {
    const wouldChange = findingsChanged(plan, findingsOf(recalled.rules, plan))
    return wouldChange.length === 0 ? undefined : { consult, stoodOn: [], decided: [], wouldChange, people: peopleOf(consult) }
  }
  const { wrong } = recalled
  const touch = touchOf(plan, wrong)
  const earlier = touch.shown ? [] : await earlierTouches(consult, inForce, wrong, trail)
  if (!touch.shown && earlier.length === 0) return touch.stoodOn.length > 0 ? 'quiet' : undefined
  return {
    consult,
    stoodOn: touch.shown ? touch.stoodOn : earlier,
    decided: decidedOn(consult, plan, wrong),
    wouldChange: await changesOf(plan, recalled, recompute),
    people: peopleOf(consult),
  }
}

/** The database gave no answer: that says nothing about the plan. */
class NoAnswer extends Error {}

async function planOf(trail: RecallNeeds['trail'], hash: string): Promise<Plan> {
  const plan = await trail.plan(hash).catch((fault: unknown) => {
    throw isAltered(fault) ? fault : new NoAnswer('no answer', { cause: fault })
  })
  if (plan === undefined) throw new Error('its plan is not in the trail')
  return plan
}

/** Answers were given on earlier revisions too: one that it touched is told even if the present one is free of it. */
async function earlierTouches(
  { revisions }: AskedConsult,
  inForce: string,
  wrong: Wrong,
  trail: RecallNeeds['trail'],
): Promise<readonly string[]> {
  const sentences: string[] = []
  for (const { revision, planHash } of revisions) {
    if (planHash === inForce) continue
    const touch: Touch = touchOf(await planOf(trail, planHash), wrong)
    if (touch.shown) sentences.push(...touch.stoodOn.map((one) => `only in revision ${revision}: ${one}`))
  }
  return sentences
}

const changesOf = async (
  plan: Plan,
  { wrong, corrected }: Extract<Recalled, { wrong: Wrong }>,
  recompute: RecallNeeds['recompute'],
): Promise<readonly string[]> =>
  corrected === undefined || corrected.cannot !== undefined ? changesNow(plan, wrong, recompute) : corrected.changes(plan)

async function changesNow(plan: Plan, wrong: Wrong, recompute: RecallNeeds['recompute']): Promise<readonly string[]> {
  const now = await recompute(plan)
  if (wrong.kind !== 'rule') return numbersChanged(plan, now)
  const findings = new Map(now.precautions.map(({ id, finding }) => [id, finding] as const))
  for (const { id } of now.tensions) findings.set(id, 'fires')
  return findingsChanged(plan, findings).filter((change) => change.startsWith(`${wrong.id}:`))
}

function findingsOf({ ids, findings }: CompiledRules, plan: Plan): ReadonlyMap<string, Plan['precautions'][number]['finding']> {
  const found = findings(factsOfCase(plan.case, plan.lens.recommended?.powerD))
  return new Map(ids.flatMap((id, index) => (found[index] === undefined ? [] : [[id, found[index]] as const])))
}

const counted = (count: number, one: string): string => `${count} ${count === 1 ? one : `${one}s`}`

const isCorrected = (recalled: Recalled): boolean =>
  'corrected' in recalled && recalled.corrected !== undefined && recalled.corrected.cannot === undefined

function noteFor(recalled: Recalled, { consult, stoodOn, wouldChange, people }: Touched): RecallNote {
  const change = isCorrected(recalled)
    ? wouldChange.length === 0
      ? 'With the corrected value this plan says the same.'
      : `With the corrected value: ${wouldChange.join('; ')}.`
    : wouldChange.length === 0
      ? 'The program as it is now says the same; if the fault is still in it, that proves nothing.'
      : `Computed anew now: ${wouldChange.join('; ')}.`
  const stood = stoodOn.length === 0 ? '' : `Here: ${stoodOn.join('; ')}. `
  return {
    ref: consult.ref,
    place: consult.place,
    to: people.map(({ person }) => person),
    wrong: `${recalled.words}.`,
    sentence: `${stood}${change} Look at this consult again before you rely on it.`,
  }
}

const asJson = ({ consult, people, ...rest }: Touched) => ({
  ref: consult.ref,
  status: consult.status,
  askedAt: consult.askedAt,
  ...rest,
  people: people.map(({ person, parts }) => ({ id: person.id, name: person.name, parts })),
})

function inWords(recalled: Recalled, { touched, looked, quiet, unread }: Recall): string {
  // Whoever is not operated on yet comes first: there something can still be done otherwise.
  const open = touched.filter(({ consult }) => isOpen(consult) && consult.status !== 'operated')
  const operated = touched.filter(({ consult }) => consult.status === 'operated')
  const past = touched.filter(({ consult }) => !isOpen(consult))
  return [
    `${recalled.words}.`,
    '',
    ...group('Open', open, isCorrected(recalled)),
    ...group('Operated, not closed yet', operated, isCorrected(recalled)),
    ...group('Past', past, isCorrected(recalled)),
    ...peopleLines(touched),
    `${counted(touched.length, 'consult')} of ${looked} touched.`,
    ...(touched.length === 0 && quiet === 0 ? ['It stands in no plan of this trail; check how it is spelt.'] : []),
    ...(quiet > 0 ? [`In ${quiet} more it was looked at and not shown (a quiet rule, a row set aside).`] : []),
    ...(unread > 0 ? [`${unread} more could not be read.`] : []),
    '',
  ].join('\n')
}

function group(title: string, touched: readonly Touched[], corrected: boolean): readonly string[] {
  if (touched.length === 0) return []
  const [same, changed] = corrected
    ? ['with the corrected value it says the same', 'with the corrected value']
    : ['the program as it is now says the same', 'computed anew now']
  return [
    `${title} (${touched.length})`,
    ...touched.flatMap(({ consult, stoodOn, decided, wouldChange }) => [
      `${consult.ref}  asked ${consult.askedAt.slice(0, 10)} by ${consult.askedBy.name}, ${consult.status}`,
      ...[...stoodOn, ...decided].map((sentence) => `  ${sentence}`),
      ...(wouldChange.length === 0 ? [`  ${same}`] : wouldChange.map((change) => `  ${changed}: ${change}`)),
    ]),
    '',
  ]
}

interface ToTell {
  readonly name: string
  readonly refsByPart: Map<string, string[]>
}

/** One line a person: in which part in which consults. */
function peopleLines(touched: readonly Touched[]): readonly string[] {
  const people = new Map<string, ToTell>()
  for (const { consult, people: concerned } of touched) {
    for (const { person, parts } of concerned) {
      const { refsByPart } = people.get(person.id) ?? entered(people, person)
      const part = parts.join(', ')
      refsByPart.set(part, [...(refsByPart.get(part) ?? []), consult.ref])
    }
  }
  if (people.size === 0) return []
  const line = (part: string, refs: readonly string[]) => `${part}: ${refs.join(', ')}`
  return [
    'People to tell',
    ...[...people].map(
      ([id, { name, refsByPart }]) => `${name} (${id})  ${[...refsByPart].map(([part, refs]) => line(part, refs)).join('; ')}`,
    ),
    '',
  ]
}

function entered(people: Map<string, ToTell>, { id, name }: Person): ToTell {
  const entry: ToTell = { name, refsByPart: new Map() }
  people.set(id, entry)
  return entry
}
