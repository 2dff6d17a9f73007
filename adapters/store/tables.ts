import type { Generated, Selectable } from 'kysely'
import type { ConsultStatus } from '../../src/consult/consult.js'
import type { Access } from '../../src/desk/access-log.js'
import type { Conversation } from '../../src/desk/store.js'
import type { RecordAct } from '../../src/trail/record-acts.js'
import type { SealsRow } from '../../src/trail/seals.js'

/**
 * The tables as every database of ours has them. Times are ISO 8601 text in UTC, so that they sort as they stand;
 * JSON is kept as text, since hashes cover the exact characters; what there is much of is packed, see text-packing.
 */
export interface Tables {
  events: EventRow
  texts: TextRow
  /** A plan as it was computed, packed; see plan-packing. Without a byte once it was erased. */
  plans: { hash: Uint8Array; body: Uint8Array }
  plan_pieces: { number: Generated<number>; text: string }
  /** The orders of pieces that others are packed against; `follows` names the one before it. */
  plan_orders: { number: Generated<number>; follows: number | null; pieces: Uint8Array }
  consults: ConsultTable
  /** Derived from the events and the plan: what a consult is searched and compared by, as packed JSON. */
  facts: { consult: number; row: Uint8Array }
  drafts: DraftTable
  people: { id: string; name: string; grade: string | null; field: string | null }
  inbox: InboxTable
  outbox: OutboxTable
  /** When to look whether a consult needs a reminder; no row: nothing is to come. */
  waking: { ref: string; look_at: string }
  person_settings: PersonSettingsTable
  record_acts: RecordAct
  accesses: AccessTable
  /** Who reads a room, as its chat last said; `members_of` null: everybody of the workspace. */
  audiences: { platform: string; workspace: string; channel: string; members_of: string | null; at: string }
  /** One row: see seals in the trail. The tables that it covers have a column `seal`, which only the sealing writes. */
  seals: SealsRow & { one: 1 }
  conversations: { tenant: string; id: string; kind: Conversation['kind']; service_url: string }
}

export interface EventRow {
  position: number
  ref: string
  version: number
  /** The sealed event, packed. */
  body: Uint8Array
  previous: Uint8Array
  hash: Uint8Array
}

export interface TextRow {
  commitment: Uint8Array
  /** Null, both, once the text was erased. */
  salt: string | null
  /** Packed. */
  text: Uint8Array | null
}

/** Derived from the events: where a consult belongs, so that a search stays within one workspace. */
interface ConsultTable {
  number: Generated<number>
  ref: string
  platform: string
  workspace: string
  asked_at: string
  opinions: number
  status: ConsultStatus
}

interface PersonSettingsTable {
  id: string
  /** IANA name of a time zone. */
  zone: string | null
  /** Hours and minutes of the person's own day, both or neither. */
  quiet_from: string | null
  quiet_to: string | null
  reminders: 0 | 1
}

export interface AccessTable {
  number: number
  at: string
  by_id: string
  by_name: string
  what: Access['what']
  ref: string | null
  words: string | null
  previous: string
  hash: string
}

/** Where several processes share the work: who has this piece in hand, and until when the others believe it. */
interface Held {
  held_by: Generated<string | null>
  held_until: Generated<string | null>
}

interface DraftTable {
  /** In the order in which they were made. */
  number: Generated<number>
  id: string
  state: 'open' | 'corrected' | 'posted' | 'cancelled'
  person: string
  place: string
  at: string
  text: string | null
  /** What its plan is made from, packed. Rows of early versions hold the plan itself. */
  plan: Uint8Array | null
  blocked_by: string
  ref: string | null
  /** How it is to be put, where its asker said so. */
  asking: string | null
}

interface InboxTable extends Held {
  seq: Generated<number>
  key: string
  at: string
  /** Deliveries of one channel are handled one after the other. Null in rows of early versions. */
  channel: Generated<string | null>
  /** Null once it was handled: only the key stays, to recognise a second copy. */
  payload: string | null
  state: 'waiting' | 'done' | 'failed'
  attempts: number
  due: string | null
  error_ref: string | null
}

interface OutboxTable extends Held {
  seq: Generated<number>
  /** A note is a message of its own in a consult's thread, posted once. */
  kind: 'answer' | 'part' | 'note'
  ref: string | null
  part: number | null
  platform: string
  /** Messages to one channel go out one after the other. */
  channel: string
  /** An answer as it is to be said, or the place and the person to tell of a card. Null once an answer is settled. */
  payload: string | null
  mark: string
  state: 'queued' | 'sending' | 'sent' | 'unknown' | 'refused'
  /** When the next step falls due; null when nothing is to be done. */
  due: string | null
  message: string | null
  desired: number
  posted: number
  shows: string | null
  attempts: number
  looks: number
  at: string
  started_at: string | null
  because: string | null
}

export type OutboxRow = Selectable<OutboxTable>
