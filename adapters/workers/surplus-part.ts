import type { Card } from '../../src/cards/card.js'
import { replacedPartCard } from '../../src/cards/short-cards.js'
import type { OutgoingPart } from '../../src/desk/store.js'
import { called, fingerprint, type OutboxParts, queuedAgain } from './settling.js'

/**
 * A card that needs fewer messages than before: the last ones say that they were replaced, so that nobody reads old numbers
 * in them. They stay where they are, for what was answered to them, and are used again when the card grows.
 * @returns whether the platform was called
 */
export async function replaceSurplus(parts: OutboxParts, outgoing: OutgoingPart, card: Card): Promise<boolean> {
  const { outbox, clock, sender, log } = parts
  const { place, mark, root, message, desired } = outgoing
  const replaced = replacedPartCard(card.title)
  const shows = fingerprint(sender.contentOf?.(replaced, 0))
  const settled = { state: 'sent', desired, ...(shows === undefined ? {} : { shows }) } as const
  if (message === undefined || (shows !== undefined && shows === outgoing.shows)) {
    await outbox.settle(outgoing.seq, { state: 'sent', desired }, clock.now())
    return false
  }
  const posting = { place, card: replaced, part: 0, mark, ...(root === undefined ? {} : { root }) }
  const outcome = await called(parts, () => sender.update(posting, message))
  switch (outcome.outcome) {
    case 'refused':
      // Most likely somebody took the message away: nothing is lost with it, and nobody needs to be told.
      log.warn({ consult: outgoing.ref, part: outgoing.part, because: outcome.because }, 'a part no longer needed was left alone')
      await outbox.settle(outgoing.seq, { state: 'sent', desired }, clock.now())
      return true
    case 'sent':
      await outbox.settle(outgoing.seq, settled, clock.now())
      return true
    case 'not-sent':
      await outbox.settle(outgoing.seq, queuedAgain(parts, outcome, outgoing.attempts), clock.now())
      return true
    case 'unknown':
      await outbox.settle(outgoing.seq, queuedAgain(parts, { ...outcome, retryAfterMs: 0 }, outgoing.attempts), clock.now())
      return true
  }
}
