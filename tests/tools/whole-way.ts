import { type FormsAndHome, formsAndHome } from '../../adapters/forms-and-home.js'
import { readGround } from '../../adapters/ground.js'
import { randomNames } from '../../adapters/names.js'
import { roomsOf } from '../../adapters/rooms.js'
import { openSqliteStore } from '../../adapters/store/sqlite/open.js'
import { startWorkers } from '../../adapters/workers/start.js'
import type { Platform } from '../../src/consult/people.js'
import { currentCard } from '../../src/desk/consult-here.js'
import { ownWorkspace } from '../../src/desk/deps.js'
import { handle } from '../../src/desk/handle.js'
import type { Clock, Delivery, Inbound, Sender } from '../../src/desk/ports.js'
import { accept, receive } from '../../src/desk/receive.js'
import type { Rooms } from '../../src/desk/rooms.js'
import type { Store } from '../../src/desk/store.js'
import { understand } from '../../src/intake/understand.js'
import { plansOn } from '../../src/plan/make-plan.js'

export const TODAY = '2026-11-24'

/** The desk and the disk behind it, as a chat or the page meets them. */
export interface WholeDesk {
  readonly store: Store
  readonly clock: Clock
  readonly log: Record<'info' | 'warn' | 'error', () => void>
  readonly asked: FormsAndHome
  accept(delivery: Delivery): Promise<void>
  receive(inbound: Inbound, key: string): Delivery
  holdsConsult(place: Parameters<Store['view']['consultInThread']>[0]): Promise<boolean>
}

/** A chat or the page that has been started over a desk. */
export interface WholeFront {
  /** Where deliveries go. */
  readonly url: string
  readonly sender: Sender
  readonly rooms?: Rooms
  stop(): Promise<void>
}

export interface Whole {
  readonly url: string
  readonly store: Store
  stop(): Promise<void>
}

/** Everything between a chat, or the page, and the disk as it is, without a pause between two messages. */
export async function startWholeWay(
  platform: Platform,
  trail: string,
  start: (desk: WholeDesk) => Promise<WholeFront>,
): Promise<Whole> {
  const read = await readGround({}, 'allowed')
  if ('faults' in read) throw new Error(read.faults.join('\n'))
  const { ground } = read
  const clock = { now: () => new Date().toISOString() }
  const log = { info: () => {}, warn: () => {}, error: () => {} }
  const store = await openSqliteStore(trail, clock.now())
  let chats: Readonly<Partial<Record<Platform, Rooms>>> = {}
  const deps = {
    understand,
    makePlan: plansOn(ground),
    lensLabels: ground.lensList?.lenses.map(({ label }) => label) ?? [],
    clock,
    names: randomNames,
    today: () => TODAY,
    reach: ownWorkspace,
    rooms: roomsOf({ chats: () => chats, audiences: store.audiences, clock }),
  }
  let wake = () => {}
  const front = await start({
    store,
    clock,
    log,
    asked: formsAndHome(store.view, deps),
    async accept(delivery) {
      await accept(delivery, { inbox: store.inbox, clock, wake: () => wake() })
    },
    receive: (inbound, key) => receive(inbound, key, TODAY),
    holdsConsult: async (place) => (await store.view.consultInThread(place)) !== undefined,
  })
  if (front.rooms !== undefined) chats = { [platform]: front.rooms }
  const workers = startWorkers({
    store,
    handle: (inbound, view) => handle(inbound, view, deps),
    cardFor: (ref) => currentCard(store.view, ref),
    senders: { [platform]: { sender: front.sender, spacingMs: 0 } },
    clock,
    log,
  })
  wake = workers.wake
  return {
    store,
    url: front.url,
    async stop() {
      await front.stop()
      await workers.stop()
      await store.close()
    },
  }
}
