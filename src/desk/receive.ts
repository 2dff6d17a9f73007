import { findIdentifiers } from '../intake/identifiers.js'
import type { Clock, Delivery, Inbound } from './ports.js'
import type { Inbox } from './store.js'

/**
 * The guard at the door, before anything is stored or logged: what may identify a patient is not taken in.
 * Of such a delivery only its key, the kind of what was found and where it stood go further, never the text.
 * @param today the department's own day, ISO date: a date near it may be one of surgery
 */
export function receive(raw: Inbound, key: string, today: string): Delivery {
  if (raw.kind === 'refused-identifiers') return { key, inbound: raw }
  const typed = raw.kind === 'text' ? raw.text : raw.sentence
  const found = typed === undefined ? [] : findIdentifiers(typed, today)
  if (found.length === 0) return { key, inbound: raw }
  const { by, place, reply } = raw
  return {
    key,
    inbound: { kind: 'refused-identifiers', found, addressed: raw.kind === 'choice' || raw.addressed, by, place, reply },
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
