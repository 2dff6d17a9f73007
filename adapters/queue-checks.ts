import { IANAZone } from 'luxon'
import type { ConsultAsked } from '../src/consult/events.js'
import type { Place } from '../src/consult/people.js'
import type { SealedTable } from '../src/trail/seals.js'
import type { Reader } from './store/database.js'
import { channelOf } from './store/outbox-rows.js'
import { unpackPlan } from './store/plan-packing.js'
import { unpackText } from './store/text-packing.js'

/*
 * Drafts, inbox, outbox, people and conversations are not the trail: nothing of the record is read from them. Their seals say
 * whether a row is as it was written; here each is held against the events and against the states that a row can be in, which
 * says in words what is wrong with it, and holds where the seals were made anew over what somebody had altered.
 */

/** A row as the database gives it. */
export type Row = Readonly<Record<string, unknown>>

/** What cannot be so in one row; nothing when all of it can. */
export type Judge = (row: Row, reader: Reader) => readonly string[] | Promise<readonly string[]>

/** Each rule is true of a row that is in order. */
const judged =
  (...rules: readonly (readonly [says: string, holds: (row: Row) => boolean])[]) =>
  (row: Row): readonly string[] =>
    rules.filter(([, holds]) => !holds(row)).map(([says]) => says)

const TIME = /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d.*Z$/
const isTime = (value: unknown): boolean => typeof value === 'string' && TIME.test(value)
const isThere = (value: unknown): boolean => value !== null

function parsed(value: unknown): unknown {
  try {
    return typeof value === 'string' ? JSON.parse(value) : undefined
  } catch {
    return undefined
  }
}
const isJson = (value: unknown): boolean => parsed(value) !== undefined

const placeOf = (value: unknown): Partial<Place> | undefined =>
  (parsed(value) as { readonly place?: Partial<Place> } | null | undefined)?.place

async function askingOf(reader: Reader, ref: unknown): Promise<ConsultAsked | undefined> {
  const row = await reader
    .selectFrom('events')
    .select('body')
    .where('ref', '=', String(ref))
    .where('version', '=', 1)
    .executeTakeFirst()
  return row && (JSON.parse(unpackText(row.body)) as ConsultAsked)
}

const number = (value: unknown): number => Number(value)
const isHeldRightly = (row: Row): boolean => isThere(row['held_by']) === isThere(row['held_until'])

const DRAFT_STATE = judged([
  'its state and what is kept of it do not go together',
  (row) =>
    ['open', 'corrected'].includes(String(row['state'])) === isThere(row['text']) &&
    isThere(row['text']) === isThere(row['plan']) &&
    (row['state'] === 'posted') === isThere(row['ref']) &&
    isJson(row['place']) &&
    isJson(row['blocked_by']) &&
    (!isThere(row['asking']) || isJson(row['asking'])) &&
    isTime(row['at']),
])

const draftFaults: Judge = async (row, reader) => [
  ...DRAFT_STATE(row),
  ...(row['state'] === 'posted' ? await postedFaults(row, reader) : []),
  ...(row['plan'] instanceof Uint8Array && !(await isPlan(reader, row['plan'])) ? ['its plan cannot be read'] : []),
]

async function postedFaults(row: Row, reader: Reader): Promise<readonly string[]> {
  const asked = await askingOf(reader, row['ref'])
  if (!asked) return ['no such consult was asked']
  const place = parsed(row['place']) as Partial<Place> | null | undefined
  const fits =
    asked.by.id === row['person'] &&
    place?.platform === asked.place.platform &&
    place.workspace === asked.place.workspace &&
    String(row['at']) <= asked.at &&
    row['blocked_by'] === '[]'
  return fits ? [] : ['it is not from the person, workspace and time of the consult that it became']
}

async function isPlan(reader: Reader, packed: Uint8Array): Promise<boolean> {
  try {
    // It may have been made by an earlier version, so no present schema is put on it.
    return typeof JSON.parse(await unpackPlan(reader, packed)) === 'object'
  } catch {
    return false
  }
}

const inboxFaults: Judge = judged(
  [
    'its state and what is kept of it do not go together',
    (row) =>
      !(row['state'] === 'done' && isThere(row['payload'])) &&
      !(row['state'] === 'waiting' && !isThere(row['payload'])) &&
      (row['state'] === 'waiting') === isThere(row['due']) &&
      isHeldRightly(row) &&
      (!isThere(row['payload']) || isJson(row['payload'])) &&
      isTime(row['at']) &&
      row['key'] !== '',
  ],
  [
    'its number of tries and its error do not go together',
    (row) => number(row['attempts']) >= 0 && number(row['attempts']) > 0 === isThere(row['error_ref']),
  ],
  [
    'it is kept for another channel than it came from',
    (row) => {
      const { platform, workspace, channel } = placeOf(row['payload']) ?? {}
      return !isThere(row['channel']) || !isThere(row['payload']) || row['channel'] === `${platform} ${workspace} ${channel}`
    },
  ],
)

const OUTBOX_STATE = judged(
  [
    'its kind and what is kept of it do not go together',
    (row) =>
      (row['kind'] === 'part') === isThere(row['ref']) &&
      (row['kind'] === 'part') === isThere(row['part']) &&
      !(row['kind'] === 'part' && !isThere(row['payload'])) &&
      (!isThere(row['payload']) || isJson(row['payload'])) &&
      isTime(row['at']) &&
      isHeldRightly(row) &&
      number(row['attempts']) >= 0 &&
      number(row['looks']) >= 0 &&
      number(row['desired']) >= 1 &&
      number(row['posted']) <= number(row['desired']) &&
      row['mark'] !== '',
  ],
  [
    'its lane is not that of the place it goes to',
    (row) => {
      const place = placeOf(row['payload'])
      return !place || (row['platform'] === place.platform && row['channel'] === channelOf(place as Place))
    },
  ],
)

const outboxFaults: Judge = async (row, reader) => {
  const faults = [...OUTBOX_STATE(row)]
  if (row['kind'] !== 'part') return faults
  const asked = await askingOf(reader, row['ref'])
  if (!asked) return [...faults, 'it is the card of a consult that was not asked']
  const place = placeOf(row['payload'])
  const { platform, workspace, channel } = asked.place
  if (place?.platform !== platform || place.workspace !== workspace || place.channel !== channel)
    faults.push('it goes to another place than its consult')
  if (number(row['part']) > 0 && !(await hasRoot(reader, String(row['ref']))))
    faults.push('the first message of its card is missing')
  return faults
}

const hasRoot = async (reader: Reader, ref: string): Promise<boolean> =>
  (await reader.selectFrom('outbox').select('seq').where('ref', '=', ref).where('part', '=', 0).executeTakeFirst()) !== undefined

const wakingFaults: Judge = async (row, reader) => [
  ...((await askingOf(reader, row['ref'])) ? [] : ['there is no such consult']),
  ...(isTime(row['look_at']) ? [] : ['when to look again is no time']),
]

const HOUR = /^[0-2]\d:[0-5]\d$/
const isHour = (value: unknown): boolean => value === null || HOUR.test(String(value))

const settingsFaults: Judge = judged(
  ['the quiet hours are no hours', (row) => isHour(row['quiet_from']) && isHour(row['quiet_to'])],
  ['there is no such time zone', (row) => row['zone'] === null || IANAZone.isValidZone(String(row['zone']))],
)

const conversationFaults: Judge = judged([
  'its address is not one of a chat service',
  (row) => /^(?:https:\/\/.|http:\/\/127\.0\.0\.1)/.test(String(row['service_url'])),
])

/** Each table whose rows change: what people call it, and what can be seen of one row without its seal. */
export const QUEUES: Readonly<Record<SealedTable, { readonly name: string; readonly judge: Judge }>> = {
  drafts: { name: 'drafts', judge: draftFaults },
  inbox: { name: 'inbox', judge: inboxFaults },
  outbox: { name: 'outbox', judge: outboxFaults },
  waking: { name: 'reminders', judge: wakingFaults },
  person_settings: { name: 'settings of people', judge: settingsFaults },
  people: { name: 'people', judge: () => [] },
  conversations: { name: 'conversations', judge: conversationFaults },
  audiences: { name: 'rooms', judge: judged(['when it was said is no time', (row) => isTime(row['at'])]) },
}
