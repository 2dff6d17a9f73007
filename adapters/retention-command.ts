import type { ConsultEvent } from '../src/consult/events.js'
import type { ExitCode, Terminal } from './plan-command.js'
import type { Database } from './store/database.js'
import { consultsNaming } from './store/plan-sharing.js'
import {
  clearLeftovers,
  type Doing,
  type DueConsult,
  dueConsults,
  dueLeftovers,
  type Erasable,
  erasableOf,
  erase,
  isHeld,
  setHold,
} from './store/record-keeping.js'

type Saying = Pick<Terminal, 'out' | 'err'>

export interface Reason {
  readonly because?: string | undefined
  readonly by: string
  readonly at: string
}

/** Enough of an id to be told from every other of one consult. */
const SHOWN_OF_ID = 12
const SHORTEST_ID = 6
const WORDS_SHOWN = 60

const shortId = (id: string): string => id.slice(0, SHOWN_OF_ID)

function refused(terminal: Saying, words: string): ExitCode {
  terminal.err(`${words}\n`)
  return 2
}

const doingOf = ({ because, by, at }: Reason): Doing | undefined =>
  because === undefined || because.trim() === '' ? undefined : { by, at, because: because.trim() }

/**
 * `soundings erase REF TEXT-ID`: a text, or a plan with what the asker wrote in it, is gone for good; that it was there, who
 * erased it and why stays. Without an id: what can be erased. With `all`: everything of the consult.
 */
export async function eraseCommand(
  database: Database,
  ref: string,
  id: string | undefined,
  reason: Reason,
  terminal: Saying,
): Promise<ExitCode> {
  const erasable = await erasableOf(database.db, ref)
  if (id === undefined) {
    if (erasable.length === 0)
      return refused(terminal, (await isThere(database, ref)) ? `All of ${ref} is erased already` : noSuchConsult(ref))
    for (const one of erasable) terminal.out(`${line(one)}\n`)
    return 0
  }
  const doing = doingOf(reason)
  if (!doing) return refused(terminal, 'Say why, such as: --because "a name was typed"')
  if (id !== 'all' && !new RegExp(`^[0-9a-f]{${SHORTEST_ID},64}$`).test(id))
    return refused(terminal, `"${id}" is no id. "soundings erase ${ref}" lists them`)
  const chosen = erasable.filter((one) => id === 'all' || one.id.startsWith(id))
  if (!(await isThere(database, ref))) return refused(terminal, noSuchConsult(ref))
  if (chosen.length === 0)
    return refused(terminal, `${ref} has nothing under "${id}". "soundings erase ${ref}" lists what it has`)
  const erasure = await erase(database, ref, chosen, doing)
  if (erasure.done === 'held') return refused(terminal, heldWords(erasure.ref, ref))
  const cleared = await database.scrub()
  for (const one of chosen) terminal.out(`erased: ${one.kind} ${shortId(one.id)} of ${ref}\n`)
  if (chosen.every(({ kind }) => kind === 'text') && erasable.some(({ kind }) => kind === 'plan')) {
    terminal.out('The plan holds the words of the case as they were typed; if they must go too, erase it by its id.\n')
  }
  for (const other of erasure.alsoOf) terminal.out(`${other} was typed alike and shared the plan: it has none now either\n`)
  if (cleared === 'in-use') terminal.err(IN_USE)
  return 0
}

const IN_USE =
  'Somebody is reading the trail, such as an export or a backup. Until the next erasure, or the next stop of the server, the old bytes still stand in the log beside the file.\n'

function line({ id, kind, event, by, at, text }: Erasable): string {
  const said = text === undefined ? '(the plan, with the case as it was typed)' : text.replace(/\s+/gu, ' ')
  const cut = said.length > WORDS_SHOWN ? `${said.slice(0, WORDS_SHOWN - 1)}…` : said
  return `${shortId(id)}  ${kind}  ${eventWords(event)}, ${by}, ${at.slice(0, 10)}  ${cut}`
}

const eventWords = (type: ConsultEvent['type']): string => type.replaceAll('-', ' ')

const noSuchConsult = (ref: string): string => `There is no consult ${ref}. Search with: soundings find WORDS`

const isThere = async ({ db }: Database, ref: string): Promise<boolean> =>
  (await db.selectFrom('consults').select('ref').where('ref', '=', ref).executeTakeFirst()) !== undefined

const heldWords = (held: string, ref: string): string =>
  `${held} is under a legal hold${held === ref ? '' : ` and shares the plan of ${ref}`}: nothing of it is erased before "soundings hold ${held} off"`

/** `soundings hold REF on|off`: a consult under a legal hold is kept whole, whatever its age. */
export async function holdCommand(
  database: Database,
  ref: string,
  wanted: string,
  reason: Reason,
  terminal: Saying,
): Promise<ExitCode> {
  if (wanted !== 'on' && wanted !== 'off') return refused(terminal, `Write "soundings hold ${ref} on" or "off"`)
  const doing = doingOf(reason)
  if (!doing) return refused(terminal, 'Say why, such as: --because "complaint of 3 March"')
  if (!(await isThere(database, ref))) return refused(terminal, noSuchConsult(ref))
  const changed = await setHold(database, ref, wanted === 'on', doing)
  const stands = wanted === 'on' ? 'under a legal hold' : 'not under a legal hold'
  terminal.out(`${ref} is ${stands}${changed ? '' : ', as it was'}\n`)
  return 0
}

/**
 * `soundings retention`: consults to which nothing has happened for the department's time limit. Listed only, or with `apply`
 * erased: their texts and plans go, their events stay, with who asked, when, and what was chosen from fixed lists.
 */
export async function retentionCommand(
  database: Database,
  { days, apply }: { readonly days: number | undefined; readonly apply: boolean },
  reason: Reason,
  terminal: Saying,
): Promise<ExitCode> {
  if (days === undefined)
    return refused(terminal, 'SOUNDINGS_RETENTION_DAYS: set it to how many days texts are kept; nothing is erased without it')
  const before = new Date(Date.parse(reason.at) - days * 24 * 60 * 60 * 1000).toISOString()
  const doing = doingOf({ ...reason, because: reason.because ?? `kept for ${days} days, as the policy says` })
  const due: DueConsult[] = []
  for await (const consult of dueConsults(database.db, before)) due.push(consult)
  for (const { ref, lastAt, held } of due)
    terminal.out(`${ref}  last entry ${lastAt.slice(0, 10)}${held ? '  under a legal hold: kept' : ''}\n`)
  const leftovers = await dueLeftovers(database.db, before)
  const going = due.filter(({ held }) => !held)
  terminal.out(
    `${going.length} consults due, ${due.length - going.length} held; ` +
      `${leftovers.drafts} drafts and ${leftovers.deliveries} parked deliveries due; last entry before ${before.slice(0, 10)}\n`,
  )
  if (!apply || !doing) {
    if (!apply) terminal.out('Nothing was erased. To erase: soundings retention --apply\n')
    return 0
  }
  const refs = new Set(going.map(({ ref }) => ref))
  const plans = new Set<string>()
  for (const ref of refs) for (const { id, kind } of await erasableOf(database.db, ref)) if (kind === 'plan') plans.add(id)
  const naming = await consultsNaming(database.db, [...plans])
  // Two cases typed alike share a plan: it goes with the last of them.
  const isWanted = (id: string): boolean => [...(naming.by.get(id) ?? [])].some((ref) => !refs.has(ref))
  const sharing = { naming, mayLose: (ref: string) => refs.has(ref) }
  let erased = 0
  for (const ref of refs) {
    const chosen = (await erasableOf(database.db, ref)).filter(({ id }) => !isWanted(id))
    if (chosen.length > 0 && (await erase(database, ref, chosen, doing, sharing)).done === 'erased') erased += 1
  }
  await clearLeftovers(database, before, doing)
  const cleared = await database.scrub()
  terminal.out(`Erased: the texts and plans of ${erased} consults\n`)
  if (cleared === 'in-use') terminal.err(IN_USE)
  return 0
}

/** `soundings access REF`: who has looked at a consult, newest first; what was done to its records; whether it is held. */
export async function accessCommand(
  database: Database,
  accesses: readonly {
    readonly at: string
    readonly by: { readonly name: string; readonly id: string }
    readonly what: string
  }[],
  ref: string,
  terminal: Saying,
): Promise<ExitCode> {
  const { db } = database
  if (!(await isThere(database, ref))) return refused(terminal, noSuchConsult(ref))
  for (const { at, by, what } of accesses) terminal.out(`${at}  ${what}  ${by.name} (${by.id})\n`)
  const acts = await db.selectFrom('record_acts').selectAll().where('ref', '=', ref).orderBy('number').execute()
  for (const { at, act, by, subject, because } of acts)
    terminal.out(`${at}  ${act.replace('-', ' ')}${subject === '' ? '' : ` ${shortId(subject)}`}  ${by}: ${because}\n`)
  if (accesses.length + acts.length === 0) terminal.out(`Nobody is on record as having looked at ${ref}\n`)
  if (await isHeld(db, ref)) terminal.out(`${ref} is under a legal hold\n`)
  return 0
}
