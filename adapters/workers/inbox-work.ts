import type { BaseLogger } from 'pino'
import { failureNotice } from '../../src/desk/notices.js'
import type { Clock, Inbound } from '../../src/desk/ports.js'
import type { DeskView, Effects, Inbox, Waiting } from '../../src/desk/store.js'
import { later } from './times.js'

export interface InboxParts {
  readonly inbox: Inbox
  readonly view: DeskView
  readonly handle: (inbound: Inbound, view: DeskView) => Promise<Effects>
  readonly clock: Clock
  readonly log: Pick<BaseLogger, 'warn' | 'error'>
  /** A fresh short reference for an error, by which the person and the log both name it. */
  readonly errorRef: () => string
  /** Called after effects were committed: there may be something to send. */
  readonly committed: () => void
}

/**
 * When the trail moves on while a delivery is handled, it is decided again on what stands then. Every conflict means that
 * somebody else's delivery went through, so that a lively consult shared by several processes needs more than a few turns;
 * giving up early would put this delivery behind later ones of its channel.
 */
const DECISIONS = 20

/** Waits between the tries of a delivery that failed; after the last one it is parked. */
const RETRY_AFTER_MS = [2_000, 10_000, 60_000, 300_000]

/** Handles the oldest delivery that is due. Every outcome is recorded: a delivery is never dropped. */
export async function handleNext(parts: InboxParts): Promise<boolean> {
  const waiting = await parts.inbox.next(parts.clock.now())
  if (!waiting) return false
  try {
    await decideAndCommit(parts, waiting)
  } catch (error) {
    await keepFailed(parts, waiting, error)
  }
  parts.committed()
  return true
}

async function decideAndCommit({ inbox, view, handle, clock }: InboxParts, { seq, inbound }: Waiting): Promise<void> {
  for (let decision = 1; decision <= DECISIONS; decision += 1) {
    const effects = await handle(inbound, view)
    if ((await inbox.commit(seq, effects, clock.now())) === 'committed') return
  }
  throw new Error(`the trail moved on ${DECISIONS} times while the delivery was handled`)
}

async function keepFailed({ inbox, clock, log, errorRef }: InboxParts, { seq, inbound, attempts }: Waiting, error: unknown) {
  const ref = errorRef()
  const wait = RETRY_AFTER_MS[attempts]
  const at = clock.now()
  log.error(
    { err: error, errorRef: ref, inbox: seq, attempt: attempts + 1, parked: wait === undefined },
    'a delivery could not be handled',
  )
  // Told at the first failure and when it is parked, not at each try in between.
  const tell = attempts === 0 || wait === undefined ? failureNotice(inbound, ref, wait !== undefined) : undefined
  await inbox.fail(seq, {
    at,
    errorRef: ref,
    ...(wait === undefined ? {} : { retryAt: later(at, wait) }),
    ...(tell ? { tell } : {}),
  })
}
