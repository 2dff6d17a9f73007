import type Sqlite from 'better-sqlite3'
import type { Kysely } from 'kysely'
import { unpackText } from './store/plan-packing.js'
import type { Tables } from './store/tables.js'

/*
 * Drafts, inbox, outbox, people and conversations are not the trail: nothing of the record is read from them. They have
 * no hashes of their own, so they are held against the events and against the states that a row can be in.
 */

type File = Sqlite.Database

/** At most this many rows are named for one fault. */
const NAMED = 5

function rowsThat(file: File, says: string, query: string): readonly string[] {
  try {
    const rows = file.prepare(`${query} limit ${NAMED}`).pluck().all()
    return rows.map((row) => `${row}: ${says}`)
  } catch (fault) {
    return [`a row cannot be read, so it is not known whether ${says} (${fault instanceof Error ? fault.message : fault})`]
  }
}

interface JsonAt {
  readonly column: string
  /** Where in the JSON the place stands: `$` or `$.place`. */
  readonly path: string
}

/** SQL that is true where two columns of JSON hold the same place. */
const samePlace = (one: JsonAt, other: JsonAt, parts: readonly string[] = ['platform', 'workspace', 'channel']): string =>
  parts
    .map((part) => `json_extract(${one.column}, '${one.path}.${part}') = json_extract(${other.column}, '${other.path}.${part}')`)
    .join(' and ')

const ASKED_IN: JsonAt = { column: 'event.body', path: '$.place' }

const NOT_A_TIME = "not glob '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]*Z'"

export async function draftFaults(file: File, db: Kysely<Tables>): Promise<readonly string[]> {
  const posted =
    'select id from main.drafts as draft left join main.events as event on event.ref = draft.ref and event.version = 1'
  const faults = [
    ...rowsThat(
      file,
      'its state and what is kept of it do not go together',
      `
      select id from main.drafts where (state in ('open', 'corrected')) <> (text is not null)
        or (text is null) <> (plan is null) or (state = 'posted') <> (ref is not null)
        or not json_valid(place) or not json_valid(blocked_by) or (asking is not null and not json_valid(asking)) or at ${NOT_A_TIME}`,
    ),
    ...rowsThat(file, 'no such consult was asked', `${posted} where draft.state = 'posted' and event.ref is null`),
    ...rowsThat(
      file,
      'it is not from the person, workspace and time of the consult that it became',
      `
      ${posted} where draft.state = 'posted' and not (json_extract(event.body, '$.by.id') = draft.person
        and ${samePlace({ column: 'draft.place', path: '$' }, ASKED_IN, ['platform', 'workspace'])}
        and draft.at <= json_extract(event.body, '$.at') and draft.blocked_by = '[]')`,
    ),
  ]
  const open = await db.selectFrom('drafts').select(['id', 'plan']).where('plan', 'is not', null).execute()
  for (const { id, plan } of open) {
    if (plan !== null && !(await isPlan(db, plan))) faults.push(`${id}: its plan cannot be read`)
  }
  return faults
}

async function isPlan(db: Kysely<Tables>, packed: Uint8Array): Promise<boolean> {
  try {
    // It may have been made by an earlier version, so no present schema is put on it.
    return typeof JSON.parse(await unpackText(db, packed)) === 'object'
  } catch {
    return false
  }
}

export const inboxFaults = (file: File): readonly string[] => [
  ...rowsThat(
    file,
    'its state and what is kept of it do not go together',
    `
    select seq from main.inbox where (state = 'done' and payload is not null)
      or (state = 'waiting' and payload is null) or (state = 'waiting') <> (due is not null)
      or (held_by is null) <> (held_until is null) or (payload is not null and not json_valid(payload)) or at ${NOT_A_TIME} or key = ''`,
  ),
  ...rowsThat(
    file,
    'its number of tries and its error do not go together',
    `
    select seq from main.inbox where attempts < 0 or (attempts > 0) <> (error_ref is not null)`,
  ),
  ...rowsThat(
    file,
    'it is kept for another channel than it came from',
    `
    select seq from main.inbox where channel is not null and payload is not null
      and channel <> json_extract(payload, '$.place.platform') || ' ' || json_extract(payload, '$.place.workspace')
        || ' ' || json_extract(payload, '$.place.channel')`,
  ),
  ...numbering(file, 'inbox'),
]

export const outboxFaults = (file: File): readonly string[] => [
  ...rowsThat(
    file,
    'its kind and what is kept of it do not go together',
    `
    select seq from main.outbox where (kind = 'part') <> (ref is not null) or (kind = 'part') <> (part is not null)
      or (kind = 'part' and payload is null) or (payload is not null and not json_valid(payload)) or at ${NOT_A_TIME}
      or (held_by is null) <> (held_until is null) or attempts < 0 or looks < 0 or desired < 1 or posted > desired or mark = ''`,
  ),
  ...rowsThat(
    file,
    'it is the card of a consult that was not asked',
    `
    select seq from main.outbox where kind = 'part' and ref not in (select ref from main.events)`,
  ),
  ...rowsThat(
    file,
    'it goes to another place than its consult',
    `
    select seq from main.outbox join main.events as event on event.ref = outbox.ref and event.version = 1
    where kind = 'part' and not (${samePlace({ column: 'payload', path: '$.place' }, ASKED_IN)})`,
  ),
  ...rowsThat(
    file,
    'its lane is not that of the place it goes to',
    `
    select seq from main.outbox where payload is not null and not (platform = json_extract(payload, '$.place.platform')
      and channel = json_extract(payload, '$.place.workspace') || ' ' || json_extract(payload, '$.place.channel'))`,
  ),
  ...rowsThat(
    file,
    'the first message of this card is missing',
    `
    select distinct ref from main.outbox as message where kind = 'part' and part > 0
      and not exists (select 1 from main.outbox as root where root.ref = message.ref and root.part = 0)`,
  ),
  ...numbering(file, 'outbox'),
]

/** True of every consult after an import; elsewhere a card was taken out. */
export function outboxRemarks(file: File): readonly string[] {
  const without = Number(
    file
      .prepare('select count(*) from main.events where version = 1 and ref not in (select ref from main.outbox where part = 0)')
      .pluck()
      .get(),
  )
  return without === 0 ? [] : [`${without} consults have no card on its way or posted, as after an import`]
}

/** A person may have described themselves anew since they last spoke, so a difference is only worth a look. */
export const peopleRemarks = (file: File): readonly string[] =>
  rowsThat(
    file,
    'described otherwise than in what they last said',
    `
    select id from main.people join (
      select json_extract(body, '$.by.id') as speaker, max(position), json_extract(body, '$.by.name') as said_name,
        json_extract(body, '$.by.grade') as said_grade, json_extract(body, '$.by.field') as said_field
      from main.events group by 1
    ) on speaker = id
    where name is not said_name or grade is not said_grade or field is not said_field`,
  )

export const wakingFaults = (file: File): readonly string[] => [
  ...rowsThat(file, 'there is no such consult', 'select ref from main.waking where ref not in (select ref from main.events)'),
  ...rowsThat(file, 'when to look again is no time', `select ref from main.waking where look_at ${NOT_A_TIME}`),
]

const NOT_AN_HOUR = "not glob '[0-2][0-9]:[0-5][0-9]'"

export function settingsFaults(file: File): readonly string[] {
  const zones = file.prepare('select id, zone from main.person_settings where zone is not null').all() as {
    readonly id: string
    readonly zone: string
  }[]
  return [
    ...rowsThat(
      file,
      'the quiet hours are no hours',
      `select id from main.person_settings where quiet_from ${NOT_AN_HOUR} or quiet_to ${NOT_AN_HOUR}`,
    ),
    ...zones.filter(({ zone }) => !isZone(zone)).map(({ id }) => `${id}: there is no such time zone`),
  ]
}

function isZone(zone: string): boolean {
  try {
    return new Intl.DateTimeFormat('en', { timeZone: zone }).resolvedOptions().timeZone !== ''
  } catch {
    return false
  }
}

export const conversationFaults = (file: File): readonly string[] =>
  rowsThat(
    file,
    'its address is not one of a chat service',
    `
    select tenant || ' ' || id from main.conversations where service_url not like 'https://_%' and service_url not like 'http://127.0.0.1%'`,
  )

/** Who reads a room is asked of its chat again and again, so that a wrong word here does not last. */
export const audienceFaults = (file: File): readonly string[] =>
  rowsThat(
    file,
    'when it was heard is no time of a chat’s room',
    `
    select workspace || ' ' || channel from main.audiences
    where platform not in ('slack', 'teams') or at not glob '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T*Z'`,
  )

// Numbers are never given twice: the counter stands at or above the highest.
const numbering = (file: File, table: string): readonly string[] =>
  rowsThat(
    file,
    'the counter of rows stands below the highest',
    `
    select name from main.sqlite_sequence where name = '${table}' and seq < (select coalesce(max(seq), 0) from main.${table})`,
  )
