import { createHash } from 'node:crypto'
import type { z } from 'zod'
import type { Plan } from '../plan/plan.js'
import { type CommittedText, canonicalJson, commit, commitmentsOf, contentHash, GENESIS, type Link, linkHash } from './chain.js'
import { planHashIn } from './export-lines.js'
import { ACTS, type RecordAct, sealRow } from './record-acts.js'
import { actLine, type EventLine, endLine, eventLine, headerLine, LINES_FORM, LINES_VERSION } from './trail-lines.js'

/** One event as it is to be put into a trail, with what belongs to it. */
export interface Restored {
  readonly link: Link
  readonly texts: readonly (CommittedText | { readonly commitment: string; readonly erased: true })[]
  readonly plan?: { readonly hash: string; readonly plan: Plan | 'erased' }
}

/** Where what was read goes. */
export interface Keeping {
  readonly event: (restored: Restored) => Promise<void>
  readonly act: (act: RecordAct) => Promise<void>
}

export type ImportVerdict =
  | { readonly imported: true; readonly events: number; readonly head: string }
  | { readonly imported: false; readonly line: number; readonly message: string; readonly instead: string }

type Refusal = Extract<ImportVerdict, { imported: false }>

const OTHER_VERSION = 'Import the file with the version that wrote it, or a later one.'
const ANOTHER_COPY = 'Take another copy of the file, or export again from the trail it came from.'

/**
 * Reads the JSON lines form and hands each event on, checked against its hashes and against the one before it.
 * What was handed on counts only when the verdict is good: the end of the lines proves the whole.
 * @param lines without their line feeds
 */
export async function importLines(lines: AsyncIterable<string>, keep: Keeping): Promise<ImportVerdict> {
  const digest = createHash('sha256')
  const versions = new Map<string, number>()
  /** What is marked as erased, until the act that erased it is read. */
  const emptied = new Set<string>()
  let number = 0
  let events = 0
  let head = GENESIS
  let acts = 0
  let lastAct: RecordAct | undefined
  let ended = false

  for await (const text of lines) {
    number += 1
    const refuse = (message: string, instead = ANOTHER_COPY): Refusal => ({ imported: false, line: number, message, instead })
    if (ended) return refuse('something follows the end', 'The file holds more than one export; cut it after the first end.')
    const value = parsed(text)
    if (value === undefined) return refuse('it is not JSON')
    const kind = typeof value === 'object' && value !== null && 'line' in value ? value.line : undefined

    if (number === 1) {
      const fault = headerFault(value)
      if (fault) return refuse(fault.message, fault.instead)
    } else if (kind === 'end') {
      const read = endLine.safeParse(value)
      if (!read.success) return refuse(fieldFault(read.error))
      if (read.data.events !== events) return refuse(`it counts ${read.data.events} events, ${events} stand before it`)
      if (read.data.acts !== acts) return refuse(`it counts ${read.data.acts} acts, ${acts} stand before it`)
      if (read.data.head !== head) return refuse('its head is not the hash of the last event')
      if (emptied.size > 0) return refuse('a text or a plan is marked as erased, and no act before the end says who erased it')
      if (read.data.sha256 !== digest.digest('hex')) {
        return refuse('a line before it was changed in a way that no hash of its own shows, such as a text marked as erased')
      }
      ended = true
      continue
    } else if (kind === 'act') {
      const read = actLine.safeParse(value)
      const unknown = actUnknown(value as object)
      if (unknown !== undefined) return refuse(`this version does not know acts of the kind "${unknown}"`, OTHER_VERSION)
      if (!read.success) return refuse(fieldFault(read.error))
      const { line: _line, ...act } = read.data
      if (!follows(act, lastAct))
        return refuse('the act is not the one that was written, or does not follow from the one before it')
      await keep.act(act)
      if (act.act === 'text-erased' || act.act === 'plan-erased') emptied.delete(act.subject)
      acts += 1
      lastAct = act
    } else {
      const read = eventLine.safeParse(value)
      if (!read.success) return refuse(fieldFault(read.error))
      const line = read.data
      const version = (versions.get(line.ref) ?? 0) + 1
      const fault = orderFault(line, { position: events + 1, previous: head, version }) ?? contentFault(line)
      if (fault !== undefined) return fault === UNKNOWN_EVENT ? refuse(unknownEvent(line), OTHER_VERSION) : refuse(fault)
      await keep.event(restoredOf(line))
      for (const text of line.texts) if (!('text' in text)) emptied.add(text.commitment)
      if (line.planErased) emptied.add(planHashIn(line.body) ?? '')
      versions.set(line.ref, version)
      events += 1
      head = line.hash
    }
    digest.update(`${text}\n`, 'utf8')
  }
  if (ended) return { imported: true, events, head }
  return { imported: false, line: number + 1, message: 'the end is missing: the file was cut off', instead: ANOTHER_COPY }
}

/** What is not known is no damage: another copy of the file would say the same. */
const UNKNOWN_EVENT = 'an unknown event'
const unknownEvent = ({ body }: EventLine): string => `this version does not know events of the kind "${body.type.slice(0, 60)}"`

/** The kind of an act that is none of ours. */
function actUnknown(value: object): string | undefined {
  const { act } = value as { readonly act?: unknown }
  return typeof act !== 'string' || ACTS.some((one) => one === act) ? undefined : act.slice(0, 60)
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return undefined
  }
}

function headerFault(value: unknown): { readonly message: string; readonly instead: string } | undefined {
  const given = value as { form?: unknown; formVersion?: unknown } | null
  if (typeof given !== 'object' || given?.form !== LINES_FORM) {
    return { message: 'it is not the header of an exported trail', instead: 'Make the file with: soundings export --form lines' }
  }
  if (typeof given.formVersion === 'number' && given.formVersion > LINES_VERSION) {
    return {
      message: `the lines have form ${given.formVersion}, this version reads forms up to ${LINES_VERSION}`,
      instead: OTHER_VERSION,
    }
  }
  const read = headerLine.safeParse(value)
  if (!read.success) return { message: fieldFault(read.error), instead: ANOTHER_COPY }
  if (read.data.whole) return undefined
  return { message: 'only some consults were exported', instead: 'Export the whole trail: without --from, --to and --ref.' }
}

function fieldFault(error: z.ZodError): string {
  const [issue] = error.issues
  return `${issue?.path.join('.') || 'the line'}: ${issue?.message ?? 'not understood'}`
}

function follows(act: RecordAct, last: RecordAct | undefined): boolean {
  const { number, previous, hash, ...content } = act
  const sealed = sealRow(content, last)
  return sealed.number === number && sealed.previous === previous && sealed.hash === hash
}

function orderFault(line: EventLine, wanted: Pick<Link, 'position' | 'previous' | 'version'>): string | undefined {
  if (line.position !== wanted.position)
    return `event ${line.position} stands where event ${wanted.position} is expected: one is missing or moved`
  if (line.previous !== wanted.previous) return 'it does not follow from the event before it'
  if (line.version !== wanted.version) return `it is number ${line.version} of ${line.ref}, number ${wanted.version} is expected`
  return undefined
}

function contentFault(line: EventLine): string | undefined {
  const link = linkOf(line)
  if (linkHash(link) !== line.hash) return 'the event is not the one that was written: its hash differs'
  if (line.body.ref !== line.ref) return 'the event belongs to another consult'
  let commitments: readonly string[]
  try {
    commitments = commitmentsOf(link)
  } catch {
    return UNKNOWN_EVENT
  }
  if (commitments.join() !== line.texts.map(({ commitment }) => commitment).join())
    return 'its texts are not those it was written with'
  for (const text of line.texts) {
    if ('text' in text && commit(text.text, text.salt).commitment !== text.commitment)
      return 'a text is not the one that was written: it does not match its commitment'
  }
  const planHash = planHashIn(line.body)
  const brought = (line.plan === undefined ? 0 : 1) + (line.planErased === undefined ? 0 : 1)
  if (brought !== (planHash === undefined ? 0 : 1))
    return planHash === undefined ? 'it brings a plan that it does not name' : 'its plan is missing, or is both there and erased'
  if (line.plan !== undefined && contentHash(line.plan) !== planHash)
    return 'the plan is not the one that was written: its hash differs'
  return undefined
}

const linkOf = ({ position, ref, version, previous, hash, body }: EventLine): Link => ({
  position,
  ref,
  version,
  body: canonicalJson(body),
  previous,
  hash,
})

function restoredOf(line: EventLine): Restored {
  const restored = { link: linkOf(line), texts: line.texts }
  const hash = planHashIn(line.body)
  // An old plan is kept as it was written; its hash was checked, so no present schema is put on it.
  return hash === undefined ? restored : { ...restored, plan: { hash, plan: line.planErased ? 'erased' : (line.plan as Plan) } }
}

/** Longest line that is read: some fifty times the largest plan, so that a wrong file is refused instead of swallowed. */
const LONGEST_LINE = 16_000_000

/**
 * A text cut at its line feeds and nowhere else: JSON may hold other signs that count as line ends elsewhere.
 * A line that grows beyond all measure is given as it stands, and reading ends.
 */
export async function* lineFeedsCut(chunks: AsyncIterable<string>): AsyncGenerator<string> {
  let rest = ''
  for await (const chunk of chunks) {
    const lines = `${rest}${chunk}`.split('\n')
    rest = lines.pop() ?? ''
    yield* lines
    if (rest.length > LONGEST_LINE) break
  }
  if (rest !== '') yield rest
}
