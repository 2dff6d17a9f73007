import { isIsoDay } from '../consult/asking.js'
import { findIdentifiers } from '../intake/identifiers.js'
import type { Clock, Delivery, Inbound } from './ports.js'
import type { Inbox } from './store.js'
import { type GuardedText, withoutColleagues } from './typed-colleagues.js'

/**
 * The guard at the door, before anything is stored or logged: what may identify a patient is not taken in.
 * Of such a delivery only its key, the kind of what was found and where it stood go further, never the text.
 * @param today the department's own day, ISO date: a date near it may be one of surgery
 */
export function receive(raw: Inbound, key: string, today: string): Delivery {
  if (raw.kind === 'refused-identifiers') return { key, inbound: raw }
  const spoken = spokenIn(raw, today)
  const found = [
    ...[...typedIn(raw, today), ...spoken.map(({ free }) => free)].flatMap((typed) => findIdentifiers(typed, today)),
    // a colleague is named here by name, and by nothing else that identifies somebody
    ...[...colleaguesIn(raw), ...spoken.flatMap(({ colleagues }) => colleagues)].flatMap((typed) =>
      findIdentifiers(typed, today).filter(({ kind }) => kind !== 'name'),
    ),
  ]
  if (found.length === 0) return { key, inbound: raw }
  const { by, place, reply } = raw
  return { key, inbound: { kind: 'refused-identifiers', found, addressed: isAddressed(raw), by, place, reply } }
}

/** What was typed as a message: a command names colleagues where its grammar says so, and anything may mention them. */
function spokenIn(raw: Exclude<Inbound, { kind: 'refused-identifiers' }>, today: string): readonly GuardedText[] {
  if (raw.kind !== 'text' && raw.kind !== 'edited') return []
  const mentioned = (raw.mentioned ?? []).map(({ said }) => said)
  return raw.text === undefined ? [] : [withoutColleagues(raw.text, mentioned, today)]
}

/** Everything else in a delivery that a person has typed. */
function typedIn(raw: Exclude<Inbound, { kind: 'refused-identifiers' }>, today: string): readonly string[] {
  switch (raw.kind) {
    case 'text':
    case 'edited':
      return []
    case 'choice':
      return raw.sentence === undefined ? [] : [raw.sentence]
    case 'form':
      // What a date field holds is a day of surgery or of a visit: a date of birth would be years away, and is looked for.
      return Object.entries(raw.values)
        .filter(([field, value]) => !COLLEAGUE_FIELDS.has(field) && !isNearDay(value, today) && !OUR_IDS.test(value))
        .map(([, value]) => value)
    case 'deleted':
    case 'picture':
      return raw.text === undefined ? [] : [raw.text]
    case 'reminder':
      return []
    default:
      return unreachable(raw)
  }
}

/** Our own ids of people, as a form gives them back; their digits would pass for numbers of a patient. */
const OUR_IDS = /^(?:(?:slack:[A-Z0-9]+:[A-Z0-9]+|teams:[0-9a-f-]{36}:(?:[0-9a-f-]{36}|29:[\w-]+)|web:[a-z0-9]{16})(?:,\s*|$))+$/

/** The fields of the forms that ask who is asked, who stands in, who takes a task and who operates. */
const COLLEAGUE_FIELDS: ReadonlySet<string> = new Set(['asked', 'deputy', 'owner', 'operates'])

const colleaguesIn = (raw: Inbound): readonly string[] =>
  raw.kind !== 'form'
    ? []
    : Object.entries(raw.values)
        .filter(([field]) => COLLEAGUE_FIELDS.has(field))
        .map(([, value]) => value)

const NEAR_MS = 3 * 365 * 24 * 60 * 60 * 1000

const isNearDay = (value: string, today: string): boolean =>
  isIsoDay(value) && Math.abs(Date.parse(value) - Date.parse(today)) < NEAR_MS

/** Whether somebody waits for an answer to it. */
export function isAddressed(inbound: Inbound): boolean {
  switch (inbound.kind) {
    case 'text':
    case 'refused-identifiers':
      return inbound.addressed
    case 'choice':
    case 'form':
      return true
    case 'edited':
    case 'deleted':
    case 'picture':
      return inbound.ref !== undefined
    case 'reminder':
      return false
    default:
      return unreachable(inbound)
  }
}

/** Keeps a delivery durably, once, and wakes whoever handles it. When this returns, the platform may be answered. */
export async function accept(
  delivery: Delivery,
  { inbox, clock, wake }: { readonly inbox: Pick<Inbox, 'put'>; readonly clock: Clock; readonly wake: () => void },
): Promise<'new' | 'duplicate'> {
  const outcome = await inbox.put(delivery, clock.now())
  if (outcome === 'new') wake()
  return outcome
}

function unreachable(value: never): never {
  throw new Error(`Unknown ${JSON.stringify(value)}`)
}
