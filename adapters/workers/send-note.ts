import type { Posting } from '../../src/desk/ports.js'
import type { OutgoingNote } from '../../src/desk/store.js'
import { called, LOOK_AFTER_MS, type OutboxParts, queuedAgain } from './settling.js'
import { later } from './times.js'

/** How long a note waits for the card in whose thread it belongs. */
const CARD_FIRST_MS = 5_000

/**
 * Posts a note in the thread of a consult's card, once. A post of unknown fate is looked for where the chat can be asked,
 * and never repeated: a reminder that stands there twice does more harm than one that is missing.
 * @returns whether the platform was called, so that the channel rests
 */
export async function sendNote(parts: OutboxParts, outgoing: OutgoingNote): Promise<boolean> {
  const { outbox, clock, sender, log } = parts
  const { seq, outbound, root, mark } = outgoing
  if (root === undefined) {
    const because = 'the card that it belongs under is not posted yet'
    await outbox.settle(seq, { state: 'queued', retryAt: later(clock.now(), CARD_FIRST_MS), because }, clock.now())
    return false
  }
  const { place, card, mentions = [] } = outbound
  const posting: Posting = { place, card, part: 0, root, mark, note: { mentions } }
  if (outgoing.step === 'look') return look(parts, outgoing, posting)

  const startedAt = clock.now()
  await outbox.begin(seq, startedAt)
  const outcome = await called(parts, () => sender.post(posting))
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

async function look(parts: OutboxParts, outgoing: OutgoingNote, posting: Posting): Promise<boolean> {
  const { outbox, clock, sender, log } = parts
  const { seq, outbound } = outgoing
  const startedAt = outgoing.startedAt ?? clock.now()
  const found = await sender.lookFor(posting, startedAt).catch((error: unknown) => {
    log.warn({ err: error, consult: outbound.ref }, 'looking for a note failed')
    return 'not-found' as const
  })
  if (typeof found === 'object') {
    await outbox.settle(seq, { state: 'sent', message: found.found }, clock.now())
    return true
  }
  const next = found === 'cannot-look' ? undefined : LOOK_AFTER_MS[outgoing.looks + 1]
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
