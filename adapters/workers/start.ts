import { randomBytes } from 'node:crypto'
import type { BaseLogger } from 'pino'
import type { Card } from '../../src/cards/card.js'
import type { Place, Platform } from '../../src/consult/people.js'
import type { Clock, Delivery, Inbound, Sender } from '../../src/desk/ports.js'
import type { DeskView, Effects, Lane, Store } from '../../src/desk/store.js'
import type { DepartmentTime } from './department-time.js'
import { handleNext } from './inbox-work.js'
import { sendNext } from './outbox-work.js'
import { remindNext } from './reminder-work.js'
import { between } from './times.js'
import { startWork, type Worker } from './work-loop.js'

export interface WorkersParts {
  readonly store: Store
  readonly handle: (inbound: Inbound, view: DeskView) => Promise<Effects>
  /** The consult's card as it is to stand on a platform now. */
  readonly cardFor: (ref: string, platform: Platform) => Promise<Card | undefined>
  /** The chats that are on. What waits for a platform that is off stays in the outbox until it is on again. */
  readonly senders: Readonly<Partial<Record<Platform, { readonly sender: Sender; readonly spacingMs: number }>>>
  /** A consult's card stands in its channel for the first time. */
  readonly posted?: (place: Place) => void
  readonly clock: Clock
  readonly log: Pick<BaseLogger, 'warn' | 'error'>
  /** Time zone and quiet hours of whoever has not set their own. Absent: no reminders. */
  readonly department?: DepartmentTime
  /** The longest that work waits which nobody announced, ms. */
  readonly intervalMs?: number
}

export interface Workers {
  /** A delivery was put into the inbox. */
  wake(): void
  /** Ends after what is under way; everything else stays in the store for the next start. */
  stop(): Promise<void>
}

const INTERVAL_MS = 1_000
const LANE_KINDS: readonly Lane['kind'][] = ['answer', 'part']

const errorRef = (): string => `E-${randomBytes(3).toString('hex').toUpperCase()}`

/** Starts one loop for the inbox and, for each chat, one for its answers and one for its cards. */
export function startWorkers(parts: WorkersParts): Workers {
  const { store, clock, log, intervalMs = INTERVAL_MS, posted = () => {} } = parts
  const untilDue = (due: string | undefined): number | undefined => (due === undefined ? undefined : between(clock.now(), due))
  const failed = (error: unknown) => log.error({ err: error }, 'a worker could not go on and tries again')

  const lanes: Worker[] = []
  for (const [platform, chat] of Object.entries(parts.senders) as [Platform, { sender: Sender; spacingMs: number }][]) {
    for (const kind of LANE_KINDS) {
      const lane = { platform, kind }
      const cardFor = (ref: string) => parts.cardFor(ref, platform)
      lanes.push(
        startWork({
          step: sendNext({
            outbox: store.outbox,
            lane,
            sender: chat.sender,
            spacingMs: chat.spacingMs,
            cardFor,
            posted,
            clock,
            log,
          }),
          // A channel that rests is due all the while: the rest is then as long as its spacing.
          untilDue: async () => {
            const ms = untilDue(await store.outbox.nextDue(lane))
            return ms !== undefined && ms <= 0 ? Math.max(chat.spacingMs, 1) : ms
          },
          intervalMs,
          failed,
        }),
      )
    }
  }
  const wakeLanes = () => {
    for (const lane of lanes) lane.wake()
  }
  const inbox = startWork({
    step: () =>
      handleNext({ inbox: store.inbox, view: store.view, handle: parts.handle, clock, log, errorRef, committed: wakeLanes }),
    untilDue: async () => untilDue(await store.inbox.nextDue()),
    intervalMs,
    failed,
  })

  const reminders = startReminders(parts, inbox.wake, failed)

  return {
    wake: inbox.wake,
    async stop() {
      await reminders?.stop()
      await inbox.stop()
      await Promise.all(lanes.map((lane) => lane.stop()))
    },
  }
}

/** Reminders are looked for at this interval; none is due to the second. */
const REMINDERS_EVERY_MS = 30_000

function startReminders(
  { store, senders, department, clock, log }: WorkersParts,
  wake: () => void,
  failed: (error: unknown) => void,
): Worker | undefined {
  if (department === undefined) return undefined
  const accept = async (delivery: Delivery) => {
    if ((await store.inbox.put(delivery, clock.now())) === 'new') wake()
  }
  return startWork({
    step: remindNext({
      reminding: store.reminding,
      view: store.view,
      accept,
      department,
      personNamed: async (name, place) => senders[place.platform]?.sender.personNamed?.(name, place),
      clock,
      log,
    }),
    untilDue: async () => REMINDERS_EVERY_MS,
    intervalMs: REMINDERS_EVERY_MS,
    failed,
  })
}
