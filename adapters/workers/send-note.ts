import type { DirectMessage, SendOutcome } from '../../src/desk/ports.js'
import type { OutgoingNote } from '../../src/desk/store.js'
import { called, LOOK_AFTER_MS, type OutboxParts, queuedAgain } from './settling.js'
import { later } from './times.js'

/** How long a note waits for the card in whose thread it belongs. */
const CARD_FIRST_MS = 5_000

/**
 * Says a note once: to the one person it is for where there is a way to them, else in the thread of a consult's card. A
 * note of unknown fate is looked for where the chat can be asked, and never repeated: a reminder that stands there twice
 * does more harm than one that is missing.
 * @returns whether the platform was called, so that the channel rests
 */
export async function sendNote(parts: OutboxParts, outgoing: OutgoingNote): Promise<boolean> {
  const { outbox, clock, sender, log } = parts
  const { seq, outbound, root, mark } = outgoing
  const message = directMessage(outgoing)
  const alone = message === undefined ? undefined : sender.direct?.bind(sender, message)
  if (outgoing.step === 'look') return look(parts, outgoing)
  if (root === undefined && alone === undefined) return waitForCard(parts, seq)

  const startedAt = clock.now()
  await outbox.begin(seq, startedAt)
  const { place, card, mentions = [] } = outbound
  const inThread = (): Promise<SendOutcome> =>
    root === undefined ? Promise.resolve(NO_CARD) : sender.post({ place, card, part: 0, root, mark, note: { mentions } })
  const outcome = await called(parts, async () => {
    const said = await alone?.()
    // no way to this person, for certain: they are told in the thread, where others read it too
    return said === undefined || said.outcome === 'refused' ? inThread() : said
  })
  switch (outcome.outcome) {
    case 'sent':
      await outbox.settle(seq, { state: 'sent', message: outcome.message }, clock.now())
      return true
    case 'not-sent':
      await outbox.settle(seq, queuedAgain(parts, outcome, outgoing.attempts), clock.now())
      return true
    case 'unknown': {
      const lookAt = later(startedAt, LOOK_AFTER_MS[0] ?? 0)
      await outbox.settle(seq, { state: 'unknown', lookAt, because: outcome.because }, clock.now())
      return true
    }
    case 'refused':
      log.warn({ consult: outbound.ref, because: outcome.because }, 'the platform refused a note')
      await outbox.settle(seq, { state: 'refused', because: outcome.because }, clock.now())
      return true
    default:
      return unreachable(outcome)
  }
}

const NO_CARD = {
  outcome: 'not-sent',
  retryAfterMs: CARD_FIRST_MS,
  because: 'the card that it belongs under is not posted yet',
} as const satisfies SendOutcome

async function waitForCard({ outbox, clock }: OutboxParts, seq: number): Promise<boolean> {
  await outbox.settle(seq, { state: 'queued', retryAt: later(clock.now(), CARD_FIRST_MS), because: NO_CARD.because }, clock.now())
  return false
}

function directMessage({ outbound, root, mark }: OutgoingNote): DirectMessage | undefined {
  const { direct, ref, place } = outbound
  return direct && { ...direct, ref, place, mark, ...(root === undefined ? {} : { root }) }
}

/** Where the note may stand: with the person alone, or in the thread. */
async function found(
  { sender }: OutboxParts,
  outgoing: OutgoingNote,
  since: string,
): ReturnType<OutboxParts['sender']['lookFor']> {
  const { outbound, root, mark } = outgoing
  const { place, card, mentions = [] } = outbound
  const message = directMessage(outgoing)
  const alone = message === undefined ? 'not-found' : await (sender.lookForDirect?.(message, since) ?? 'not-found')
  if (typeof alone === 'object' || root === undefined) return alone
  const inThread = await sender.lookFor({ place, card, part: 0, root, mark, note: { mentions } }, since)
  return typeof inThread === 'object' || alone === 'not-found' ? inThread : alone
}

async function look(parts: OutboxParts, outgoing: OutgoingNote): Promise<boolean> {
  const { outbox, clock, log } = parts
  const { seq, outbound } = outgoing
  const startedAt = outgoing.startedAt ?? clock.now()
  const there = await found(parts, outgoing, startedAt).catch((error: unknown) => {
    log.warn({ err: error, consult: outbound.ref }, 'looking for a note failed')
    return 'not-found' as const
  })
  if (typeof there === 'object') {
    await outbox.settle(seq, { state: 'sent', message: there.found }, clock.now())
    return true
  }
  const next = there === 'cannot-look' ? undefined : LOOK_AFTER_MS[outgoing.looks + 1]
  const because = 'the platform did not confirm it'
  if (next === undefined) {
    log.warn({ consult: outbound.ref }, 'a note was possibly posted')
    await outbox.settle(seq, { state: 'unknown', because }, clock.now())
  } else await outbox.settle(seq, { state: 'unknown', lookAt: later(startedAt, next), because }, clock.now())
  return true
}

function unreachable(value: never): never {
  throw new Error(`Unknown ${JSON.stringify(value)}`)
}
