import { createHash } from 'node:crypto'
import { canonicalJson, commitmentsOf, GENESIS, type Link } from './chain.js'
import { askingIn, type Chosen, isChosen, isEverything } from './chosen-consults.js'
import { type ActLine, type EndLine, type EventLine, type HeaderLine, LINES_FORM, LINES_VERSION } from './trail-lines.js'
import type { TrailReading } from './trail-store.js'

type Source = Pick<TrailReading, 'links' | 'keptText' | 'plan' | 'planErased' | 'recordActs'>

/**
 * The trail as JSON lines, in full: sealed events, their texts and salts, plans, hashes, and what was done to the records. Names, dates and texts stand
 * in it as they are. One event is held at a time; when only some days are chosen, the references of those consults too.
 * @param soundings version of the program that writes
 * @returns each line with its line feed
 */
export async function* exportLines(trail: Source, chosen: Chosen, soundings: string): AsyncGenerator<string> {
  const digest = createHash('sha256')
  const written = (line: HeaderLine | EventLine | ActLine): string => {
    const text = `${canonicalJson(line)}\n`
    digest.update(text, 'utf8')
    return text
  }
  const whole = isEverything(chosen)
  yield written({ line: 'header', form: LINES_FORM, formVersion: LINES_VERSION, soundings, whole })

  const refs = new Set<string>()
  let events = 0
  let head = GENESIS
  for await (const link of trail.links()) {
    if (!whole) {
      const asking = askingIn(link)
      if (asking && isChosen(asking, chosen)) refs.add(link.ref)
      if (!refs.has(link.ref)) continue
    }
    yield written(await eventLineOf(link, trail))
    events += 1
    head = link.hash
  }
  let acts = 0
  for await (const act of trail.recordActs()) {
    if (!whole && !refs.has(act.ref)) continue
    yield written({ line: 'act', ...act })
    acts += 1
  }
  const end: EndLine = { line: 'end', events, acts, head, sha256: digest.digest('hex') }
  yield `${canonicalJson(end)}\n`
}

async function eventLineOf(link: Link, trail: Source): Promise<EventLine> {
  const { position, ref, version, previous, hash } = link
  const body = JSON.parse(link.body) as EventLine['body']
  const texts: EventLine['texts'] = []
  for (const commitment of commitmentsOf(link)) {
    const kept = await trail.keptText(commitment)
    if (kept === undefined) throw broken(position, ref, 'a text of it is gone')
    texts.push(kept === 'erased' ? { commitment, erased: true } : { commitment, salt: kept.salt, text: kept.text })
  }
  const event = { line: 'event', position, ref, version, previous, hash, body, texts } as const
  const planHash = planHashIn(body)
  if (planHash === undefined) return event
  const plan = await trail.plan(planHash)
  if (plan !== undefined) return { ...event, plan }
  if (await trail.planErased(planHash)) return { ...event, planErased: true }
  throw broken(position, ref, 'the plan it names is gone')
}

/** The plan that a sealed event names, if it names one. */
export const planHashIn = (body: object): string | undefined =>
  'planHash' in body && typeof body.planHash === 'string' ? body.planHash : undefined

const broken = (position: number, ref: string, what: string): Error =>
  new Error(`Event ${position} (${ref}): ${what}. Nothing more was written; see: soundings verify`)
