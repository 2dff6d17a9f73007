import { createHash } from 'node:crypto'
import type { BaseLogger } from 'pino'
import type { Card } from '../../src/cards/card.js'
import type { Place } from '../../src/consult/people.js'
import type { Clock, Sender, SendOutcome } from '../../src/desk/ports.js'
import type { Lane, Outbox, Settled } from '../../src/desk/store.js'
import { later } from './times.js'

export interface OutboxParts {
  readonly outbox: Outbox
  readonly lane: Lane
  readonly sender: Sender
  /** Least time between two messages in one channel, ms; 0 where the platform or its sender sees to it. */
  readonly spacingMs: number
  /** The consult's card as it stands now. */
  readonly cardFor: (ref: string) => Promise<Card | undefined>
  /** A consult's card stands in its channel for the first time. */
  readonly posted: (place: Place) => void
  readonly clock: Clock
  readonly log: Pick<BaseLogger, 'warn' | 'error'>
}

/** Waits after a message that was certainly not sent; the last one repeats. */
const RETRY_AFTER_MS = [2_000, 5_000, 15_000, 60_000, 300_000]
/** When a message of unknown fate is looked for, after its sending began. */
export const LOOK_AFTER_MS = [2_000, 10_000, 60_000]

export function queuedAgain(
  { clock }: OutboxParts,
  { retryAfterMs, because }: { readonly retryAfterMs: number; readonly because: string },
  attempts: number,
): Settled {
  const wait = RETRY_AFTER_MS[Math.min(attempts, RETRY_AFTER_MS.length - 1)] ?? 0
  return { state: 'queued', retryAt: later(clock.now(), Math.max(wait, retryAfterMs)), because }
}

/** What tells whether a message would say the same as before; undefined where its sender does not say. */
export const fingerprint = (content: string | undefined): string | undefined =>
  content === undefined ? undefined : createHash('sha256').update(content).digest('base64url')

/**
 * The outbox as a lane works with it. What came of a call is known here alone until it is written down: where that fails, as on
 * a full disk, it is written before anything else is sent, or the message would stay "being sent" until the next start.
 */
export function rememberingOutcomes(outbox: Outbox): {
  readonly outbox: Outbox
  readonly settleForgotten: () => Promise<void>
} {
  const forgotten: Parameters<Outbox['settle']>[] = []
  return {
    outbox: {
      ...outbox,
      async settle(...outcome) {
        try {
          await outbox.settle(...outcome)
        } catch (fault) {
          forgotten.push(outcome)
          throw fault
        }
      },
    },
    async settleForgotten() {
      for (let outcome = forgotten[0]; outcome; outcome = forgotten[0]) {
        await outbox.settle(...outcome)
        forgotten.shift()
      }
    },
  }
}

/** A sender that throws leaves it open whether the platform was reached. */
export async function called({ log }: OutboxParts, call: () => Promise<SendOutcome>): Promise<SendOutcome> {
  try {
    return await call()
  } catch (error) {
    log.error({ err: error }, 'a sender failed')
    return { outcome: 'unknown', because: 'an error here while it was being sent' }
  }
}
