import type { Card } from '../../src/cards/card.js'
import { notPostedNotice, notUpdatedNotice, possiblyPostedNotice } from '../../src/desk/notices.js'
import type { Outbound, Posting } from '../../src/desk/ports.js'
import type { OutgoingAnswer, OutgoingPart, Settled } from '../../src/desk/store.js'
import { sendNote } from './send-note.js'
import { called, fingerprint, LOOK_AFTER_MS, type OutboxParts, queuedAgain, rememberingOutcomes } from './settling.js'
import { replaceSurplus } from './surplus-part.js'
import { between, later } from './times.js'

/** An answer that could not be given within this time helps nobody any more. */
const ANSWER_HELPS_MS = 60 * 60 * 1000

/** Sends what has been due longest in one lane. The outcome of every call is recorded; nothing is posted twice on its own. */
export function sendNext(given: OutboxParts): () => Promise<boolean> {
  const restUntil = new Map<string, string>()
  const { outbox, settleForgotten } = rememberingOutcomes(given.outbox)
  const parts = { ...given, outbox }
  return async () => {
    await settleForgotten()
    const now = parts.clock.now()
    for (const [channel, until] of restUntil) if (until <= now) restUntil.delete(channel)
    const outgoing = await parts.outbox.next(now, { ...parts.lane, heldChannels: [...restUntil.keys()] })
    if (!outgoing) return false
    if (outgoing.kind === 'answer') await sendAnswer(parts, outgoing)
    else {
      const called = outgoing.kind === 'note' ? await sendNote(parts, outgoing) : await sendPart(parts, outgoing)
      if (called && parts.spacingMs > 0) restUntil.set(outgoing.channel, later(parts.clock.now(), parts.spacingMs))
    }
    return true
  }
}

async function sendAnswer(parts: OutboxParts, { seq, attempts, queuedAt, outbound }: OutgoingAnswer): Promise<void> {
  const { outbox, clock, sender } = parts
  if (between(queuedAt, clock.now()) > ANSWER_HELPS_MS) {
    return outbox.settle(seq, { state: 'refused', because: 'it could not be given within an hour' }, clock.now())
  }
  await outbox.begin(seq, clock.now())
  const outcome = await called(parts, () => sender.answer(outbound))
  const settled: Settled =
    outcome.outcome === 'sent'
      ? { state: 'sent' }
      : outcome.outcome === 'not-sent'
        ? queuedAgain(parts, outcome, attempts)
        : { state: outcome.outcome, because: outcome.because }
  if (settled.state === 'unknown' || settled.state === 'refused') {
    parts.log.warn({ outbox: seq, state: settled.state, because: settled.because }, 'an answer was not certainly given')
  }
  return outbox.settle(seq, settled, clock.now())
}

/** @returns whether the platform was called, so that the channel rests */
async function sendPart(parts: OutboxParts, outgoing: OutgoingPart): Promise<boolean> {
  const { clock, outbox, sender, log } = parts
  let card: Card | undefined
  let count = 0
  try {
    card = await parts.cardFor(outgoing.ref)
    count = card === undefined ? 0 : sender.partsOf(card)
  } catch (error) {
    log.error({ err: error, consult: outgoing.ref }, 'the card of a consult could not be made')
    const retryAt = later(clock.now(), 60_000)
    await settleBack(parts, outgoing, { state: 'queued', retryAt, because: 'its card could not be made' })
    return false
  }
  if (card === undefined) {
    await outbox.settle(outgoing.seq, { state: 'sent', desired: outgoing.desired }, clock.now())
    return false
  }
  if (outgoing.part >= count && outgoing.step !== 'look') return replaceSurplus(parts, outgoing, card)
  const posting: Posting = {
    place: outgoing.place,
    card,
    part: outgoing.part,
    mark: outgoing.mark,
    ...(outgoing.root === undefined ? {} : { root: outgoing.root }),
  }
  const shows = fingerprint(sender.contentOf?.(card, outgoing.part))

  if (outgoing.step === 'look') return look(parts, outgoing, posting)
  if (outgoing.step === 'post') return post(parts, outgoing, posting, count, shows)
  return update(parts, outgoing, posting, count, shows)
}

async function post(parts: OutboxParts, outgoing: OutgoingPart, posting: Posting, count: number, shows: string | undefined) {
  const { outbox, clock, sender } = parts
  const startedAt = clock.now()
  await outbox.begin(outgoing.seq, startedAt)
  const outcome = await called(parts, () => sender.post(posting))
  switch (outcome.outcome) {
    case 'sent':
      await outbox.settle(
        outgoing.seq,
        {
          state: 'sent',
          message: outcome.message,
          desired: outgoing.desired,
          ...(shows === undefined ? {} : { shows }),
          // In the same breath, so that no crash leaves a card without its other messages.
          ...(outgoing.part === 0 ? { parts: count } : {}),
        },
        clock.now(),
      )
      if (outgoing.part === 0) parts.posted(outgoing.place)
      return true
    case 'not-sent':
      await outbox.settle(outgoing.seq, queuedAgain(parts, outcome, outgoing.attempts), clock.now())
      return true
    case 'unknown':
      parts.log.warn({ consult: outgoing.ref, part: outgoing.part, because: outcome.because }, 'a post has an unknown outcome')
      await outbox.settle(
        outgoing.seq,
        { state: 'unknown', lookAt: later(startedAt, LOOK_AFTER_MS[0] ?? 0), because: outcome.because },
        clock.now(),
      )
      return true
    case 'refused':
      await refused(parts, outgoing, outcome.because, notPostedNotice)
      return true
    default:
      return unreachable(outcome)
  }
}

async function update(parts: OutboxParts, outgoing: OutgoingPart, posting: Posting, count: number, shows: string | undefined) {
  const { outbox, clock, sender } = parts
  const settledAs = { state: 'sent', desired: outgoing.desired, ...(shows === undefined ? {} : { shows }) } as const
  if (outgoing.part === 0 && count > 1) await outbox.addParts(outgoing.ref, count, clock.now())
  if (shows !== undefined && shows === outgoing.shows) {
    await outbox.settle(outgoing.seq, settledAs, clock.now())
    return false
  }
  const outcome = await called(parts, () => sender.update(posting, outgoing.message ?? ''))
  switch (outcome.outcome) {
    case 'sent':
      await outbox.settle(outgoing.seq, settledAs, clock.now())
      return true
    case 'not-sent':
      await outbox.settle(outgoing.seq, queuedAgain(parts, outcome, outgoing.attempts), clock.now())
      return true
    case 'unknown':
      // Putting the same card there twice changes nothing, so an update of unknown fate is simply repeated.
      await outbox.settle(outgoing.seq, queuedAgain(parts, { ...outcome, retryAfterMs: 0 }, outgoing.attempts), clock.now())
      return true
    case 'refused':
      await refused(parts, outgoing, outcome.because, notUpdatedNotice)
      return true
    default:
      return unreachable(outcome)
  }
}

async function look(parts: OutboxParts, outgoing: OutgoingPart, posting: Posting): Promise<boolean> {
  const { outbox, clock, sender, log } = parts
  const startedAt = outgoing.startedAt ?? clock.now()
  const found = await sender.lookFor(posting, startedAt).catch((error: unknown) => {
    log.warn({ err: error, consult: outgoing.ref }, 'looking for a message failed')
    return 'not-found' as const
  })
  if (typeof found === 'object') {
    // What stands there may be older than what is wanted now, so it is brought up to date next.
    await outbox.settle(outgoing.seq, { state: 'sent', message: found.found, desired: 0 }, clock.now())
    return true
  }
  const next = found === 'cannot-look' ? undefined : LOOK_AFTER_MS[outgoing.looks + 1]
  const because =
    found === 'cannot-look'
      ? 'the platform did not confirm it and cannot be asked'
      : 'the platform did not confirm it and it was not found there'
  if (next !== undefined) {
    await outbox.settle(outgoing.seq, { state: 'unknown', lookAt: later(startedAt, next), because }, clock.now())
    return true
  }
  log.warn({ consult: outgoing.ref, part: outgoing.part }, 'a message was possibly posted; its asker is told')
  const tell = outgoing.tell && possiblyPostedNotice(outgoing.tell, outgoing.ref, because)
  await outbox.settle(outgoing.seq, { state: 'unknown', because }, clock.now(), tell)
  return true
}

async function refused(
  { outbox, clock, log }: OutboxParts,
  outgoing: OutgoingPart,
  because: string,
  notice: (tell: NonNullable<OutgoingPart['tell']>, ref: string, because: string) => Outbound,
): Promise<void> {
  log.warn({ consult: outgoing.ref, part: outgoing.part, because }, 'the platform refused a message')
  const tell = outgoing.tell && notice(outgoing.tell, outgoing.ref, because)
  await outbox.settle(outgoing.seq, { state: 'refused', because }, clock.now(), tell)
}

/** A message that was not sent yet stays what it is: to be posted, to be updated, or to be looked for. */
function settleBack({ outbox, clock }: OutboxParts, { seq, step }: OutgoingPart, queued: Extract<Settled, { state: 'queued' }>) {
  const settled: Settled = step === 'look' ? { state: 'unknown', lookAt: queued.retryAt, because: queued.because } : queued
  return outbox.settle(seq, settled, clock.now())
}

function unreachable(value: never): never {
  throw new Error(`Unknown ${JSON.stringify(value)}`)
}
