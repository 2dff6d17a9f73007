import { once } from 'node:events'
import { createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import { formsAndHome } from '../../../adapters/forms-and-home.js'
import { readGround } from '../../../adapters/ground.js'
import { randomNames } from '../../../adapters/names.js'
import { roomsOf } from '../../../adapters/rooms.js'
import { openSqliteStore } from '../../../adapters/store/sqlite/open.js'
import { startTeams, TEAMS_PATH } from '../../../adapters/teams/start.js'
import { startWorkers } from '../../../adapters/workers/start.js'
import { currentCard } from '../../../src/desk/consult-here.js'
import { ownWorkspace } from '../../../src/desk/deps.js'
import { handle } from '../../../src/desk/handle.js'
import { accept, receive } from '../../../src/desk/receive.js'
import type { Store } from '../../../src/desk/store.js'
import { understand } from '../../../src/intake/understand.js'
import { plansOn } from '../../../src/plan/make-plan.js'
import { BOT_TOKEN, type TeamsConnector } from '../../fakes/teams-connector.js'
import { settingsFor } from './loopback.js'

export interface Whole {
  readonly url: string
  readonly store: Store
  stop(): Promise<void>
}

const TODAY = '2026-11-24'

/** Everything between Teams and the disk as it is. */
export async function startWhole(connector: TeamsConnector, trail: string): Promise<Whole> {
  const read = await readGround({}, 'allowed')
  if ('faults' in read) throw new Error(read.faults.join('\n'))
  const { ground } = read
  const clock = { now: () => new Date().toISOString() }
  const log = { info: () => {}, warn: () => {}, error: () => {} }
  const store = await openSqliteStore(trail, clock.now())
  let chats: ReturnType<Parameters<typeof roomsOf>[0]['chats']> = {}
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
  const asked = formsAndHome(store.view, deps)
  let wake = () => {}
  const teams = await startTeams(settingsFor(connector), {
    accept: async (delivery) => {
      await accept(delivery, { inbox: store.inbox, clock, wake: () => wake() })
    },
    receive: (inbound, key) => receive(inbound, key, TODAY),
    holdsConsult: async (place) => (await store.view.consultInThread(place)) !== undefined,
    conversations: store.conversations,
    formFor: asked.formFor,
    logger: log,
    botToken: async () => BOT_TOKEN,
  })
  chats = { teams: teams.rooms }
  const workers = startWorkers({
    store,
    handle: (inbound, view) => handle(inbound, view, deps),
    cardFor: (ref) => currentCard(store.view, ref),
    senders: { teams: { sender: teams.sender, spacingMs: 0 } },
    clock,
    log,
  })
  wake = workers.wake
  const server = createServer((request, response) => teams.requestListener(request, response))
  server.listen(0, '127.0.0.1')
  await once(server, 'listening')
  return {
    store,
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}${TEAMS_PATH}`,
    async stop() {
      server.closeAllConnections()
      server.close()
      await teams.stop()
      await workers.stop()
      await store.close()
    },
  }
}
