import type { Card } from '../../src/cards/card.js'
import { fold, isOpen } from '../../src/consult/consult.js'
import type { ConsultEvent } from '../../src/consult/events.js'
import type { Person, Place } from '../../src/consult/people.js'
import { type DeskDeps, ownWorkspace } from '../../src/desk/deps.js'
import { handle } from '../../src/desk/handle.js'
import type { Inbound, Outbound } from '../../src/desk/ports.js'
import { isSpokenOfAt } from '../../src/desk/put-case.js'
import type { Rooms } from '../../src/desk/rooms.js'
import type { CardStanding, DeskView, Effects, KeptDraft, PersonSettings } from '../../src/desk/store.js'
import type { Plan } from '../../src/plan/plan.js'
import { type PlacedRow, placedRow } from '../../src/trail/features.js'
import type { Query } from '../../src/trail/find.js'
import type { Found, Scope } from '../../src/trail/trail-store.js'
import { ASKER, at, PLACE } from '../consult/invented-people.js'
import { inventedPlan } from '../contracts/invented-plan.js'

type Understood = ReturnType<DeskDeps['understand']>

export const understoodAs = (blocking: readonly string[] = []): Understood => ({
  kind: 'case',
  case: inventedPlan({ question: 'Chop or manual?' }).case,
  items: [],
  problems: blocking.map((message) => ({
    line: 1,
    item: 'AL',
    kind: 'out-of-range',
    blocks: true,
    message,
    instead: 'AL 29.60',
  })),
})

/** Rooms that everybody of the workspace reads, but for those whose id says otherwise. */
const OPEN_ROOMS: Rooms = {
  audienceOf: async () => 'workspace',
  isMember: async () => true,
  botIsMember: async () => true,
}

/** A desk over plain maps: what the store does is tested by its own contract. */
export function deskInMemory(changes: Partial<DeskDeps> = {}) {
  const events = new Map<string, ConsultEvent[]>()
  const plans = new Map<string, Plan>()
  const drafts = new Map<string, KeptDraft>()
  const people = new Map<string, Person>()
  const settings = new Map<string, PersonSettings>()
  const threads = new Map<string, string>()
  const standings = new Map<string, CardStanding>()
  const searches: { query: Query; scope: Scope }[] = []
  const now = { minute: 0, at: undefined as string | undefined }
  let named = 0

  const found = (): Found[] =>
    [...events].flatMap(([ref, [asked]]) =>
      asked?.type === 'consult-asked'
        ? [{ ref, askedAt: asked.at, askedBy: asked.by, place: asked.place, planHash: asked.planHash, opinions: 0 }]
        : [],
    )
  const rowOf = (ref: string): PlacedRow => {
    const consult = fold(events.get(ref) ?? [])
    if (consult.status === 'not-asked') throw new Error(`${ref} was not asked`)
    return placedRow(consult, plans.get(consult.planHash))
  }
  const view: DeskView = {
    open: async () =>
      [...events.keys()].filter((ref) => {
        const consult = fold(events.get(ref) ?? [])
        return consult.status !== 'not-asked' && isOpen(consult)
      }),
    settings: async (id) => settings.get(id),
    events: async (ref) => events.get(ref) ?? [],
    plan: async (hash) => plans.get(hash),
    find: async (query, scope) => {
      searches.push({ query, scope })
      return found()
    },
    newest: async () => found(),
    async *similarRows(_scope, limit, before) {
      const newest = [...events.keys()].map(rowOf).toSorted((one, other) => other.askedAt.localeCompare(one.askedAt))
      yield* newest.filter(({ askedAt }) => before === undefined || askedAt < before).slice(0, limit)
    },
    rowsOf: async (refs) => refs.filter((ref) => events.has(ref)).map(rowOf),
    draft: async (id) => drafts.get(id),
    newestDraft: async (by, place) =>
      [...drafts.values()].findLast(
        (draft) => draft.by === by && 'text' in draft && isSpokenOfAt(place, draft.place, draft.asking),
      )?.id,
    person: async (id) => people.get(id),
    people: async ({ platform, workspace }) =>
      [...people.values()].filter(({ id }) => id.startsWith(platform === 'web' ? 'web:' : `${platform}:${workspace}:`)),
    consultInThread: async ({ thread }) => (thread === undefined ? undefined : threads.get(thread)),
    audienceOf: async () => 'workspace',
    cardStanding: async (ref) => standings.get(ref) ?? 'posted',
  }
  const deps: DeskDeps = {
    understand: () => understoodAs(),
    makePlan: async () => inventedPlan({ question: 'Chop or manual?' }),
    lensLabels: [],
    clock: { now: () => now.at ?? at(now.minute) },
    names: {
      draftId: () => {
        named += 1
        return `d${named}`
      },
      consultRef: async (taken) => ((await taken('MARSH-7')) ? 'QUAY-2' : 'MARSH-7'),
    },
    today: () => '2026-03-02',
    reach: ownWorkspace,
    rooms: OPEN_ROOMS,
    ...changes,
  }

  function keep(effects: Effects): void {
    for (const event of effects.events) events.set(event.ref, [...(events.get(event.ref) ?? []), event])
    for (const { hash, plan } of effects.plans) plans.set(hash, plan)
    for (const person of effects.people) people.set(person.id, person)
    for (const heard of effects.heardOf) people.set(heard.id, { ...people.get(heard.id), ...heard })
    for (const wanted of effects.settings) settings.set(wanted.id, wanted)
    for (const change of effects.drafts) {
      if (change.change === 'put') {
        drafts.set(change.draft.id, { state: 'open', ...change.draft })
        continue
      }
      const draft = drafts.get(change.id)
      if (!draft || !('case' in draft)) throw new Error('only an open draft changes')
      const { id, by, place } = draft
      drafts.set(
        id,
        change.change === 'posted'
          ? { state: 'posted', id, by, place, ref: change.ref }
          : change.change === 'corrected'
            ? { ...draft, state: 'corrected' }
            : { state: 'cancelled', id, by, place },
      )
    }
    for (const outbound of effects.outbound) {
      if (outbound.kind === 'consult-card') threads.set(`root of ${outbound.ref}`, outbound.ref)
    }
  }

  return {
    view,
    deps,
    now,
    searches,
    standings,
    outdate(id: string) {
      const draft = drafts.get(id)
      if (draft?.state === 'open') drafts.set(id, { ...draft, state: 'outdated' })
    },
    async handle(inbound: Inbound): Promise<Effects> {
      const effects = await handle(inbound, view, deps)
      keep(effects)
      return effects
    },
  }
}

export const text = (said: string, changes: Partial<Extract<Inbound, { kind: 'text' }>> = {}): Inbound => ({
  kind: 'text',
  text: said,
  by: ASKER,
  place: PLACE,
  addressed: true,
  hasPicture: false,
  reply: { to: 'here' },
  ...changes,
})

export const tap = (
  does: Extract<Inbound, { kind: 'choice' }>['does'],
  changes: Partial<Omit<Extract<Inbound, { kind: 'choice' }>, 'kind' | 'does'>> = {},
): Inbound => ({ kind: 'choice', does, by: ASKER, place: PLACE, reply: { to: 'here' }, ...changes })

export const inThread = (ref: string): Place => ({ ...PLACE, thread: `root of ${ref}` })

const answersIn = (effects: Effects): readonly Extract<Outbound, { kind: 'answer' }>[] =>
  effects.outbound.flatMap((outbound) => (outbound.kind === 'answer' ? [outbound] : []))

/** Every word of the one answer that was given. */
export function answered(effects: Effects): string {
  const answers = answersIn(effects)
  if (answers.length !== 1) throw new Error(`one answer was expected, not ${answers.length}`)
  return JSON.stringify(answers[0]?.card)
}

export const answerCard = (effects: Effects): Card | undefined => answersIn(effects)[0]?.card
