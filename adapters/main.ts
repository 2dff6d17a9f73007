import { setTimeout } from 'node:timers/promises'
import type { Logger } from 'pino'
import type { AnswerHours } from '../src/consult/asking.js'
import { currentCard } from '../src/desk/consult-here.js'
import { type DeskDeps, ownWorkspace } from '../src/desk/deps.js'
import type { Group } from '../src/desk/groups.js'
import { handle } from '../src/desk/handle.js'
import type { Clock, Delivery, Inbound } from '../src/desk/ports.js'
import { accept } from '../src/desk/receive.js'
import type { Rooms } from '../src/desk/rooms.js'
import type { DeskView } from '../src/desk/store.js'
import { understand } from '../src/intake/understand.js'
import { type PlanGround, plansOn } from '../src/plan/make-plan.js'
import { type Chats, connectChats } from './chats.js'
import { seedDemo } from './demo.js'
import { formsAndHome } from './forms-and-home.js'
import { readGround } from './ground.js'
import { readGroups } from './groups-file.js'
import { probes } from './http/probes.js'
import { type Handler, type RunningServer, startServer } from './http/server.js'
import { logAt } from './log.js'
import { randomNames } from './names.js'
import { type LearningSource, operationsFaults } from './page-learning.js'
import { pageNeeds } from './page-needs.js'
import { roomsOf } from './rooms.js'
import type { Settings } from './settings.js'
import { listed } from './settings.js'
import { openStore } from './store/open.js'
import type { KeptStore } from './store/store.js'
import { pageApp } from './web/page-app.js'
import { webSender } from './web/sender.js'
import { waitingAnswers } from './web/waiting.js'
import { dayIn, departmentTime } from './workers/department-time.js'
import { makeMissingFacts } from './workers/facts-work.js'
import { startWorkers } from './workers/start.js'

export interface Running {
  readonly url: string
  /** Resolves when nothing of the start is left to do: past consults have their facts, the invented one stands where one is made. */
  readonly settled: Promise<void>
  stop(): Promise<void>
}

/** The invented consult is begun so long after the program is ready, milliseconds. */
const DEMO_AFTER_MS = 100

const clock: Clock = { now: () => new Date().toISOString() }

/** Joins all rooms and starts. Faults that a person can mend come back as sentences. */
export async function serve(settings: Settings): Promise<Running | { readonly faults: readonly string[] }> {
  const log = logAt(settings.LOG_LEVEL)
  const chatsAreOn = settings.SLACK_BOT_TOKEN !== undefined || settings.MicrosoftAppId !== undefined
  const read = await readGround(settings, chatsAreOn ? 'not-allowed' : 'allowed')
  const known = readGroups(settings.SOUNDINGS_GROUPS)
  const operations = await operationsFaults(settings)
  if ('faults' in read || 'faults' in known || operations.length > 0)
    return { faults: [...[read, known].flatMap((one) => ('faults' in one ? one.faults : [])), ...operations] }
  let store: KeptStore
  try {
    store = await openStore(settings.DATABASE_URL, clock.now(), settings.SOUNDINGS_SEAL_KEY)
  } catch (fault) {
    return { faults: [fault instanceof Error ? fault.message : 'The trail cannot be opened'] }
  }
  try {
    return await start(settings, { ...known, ground: read.ground }, store, log, !chatsAreOn)
  } catch (fault) {
    await store.close()
    return { faults: [fault instanceof Error ? fault.message : 'The start failed.'] }
  }
}

interface Ground {
  readonly ground: PlanGround
  readonly groups: readonly Group[]
}

function deskDeps({ ground, groups }: Ground, settings: Settings, rooms: Rooms): DeskDeps {
  return {
    understand,
    makePlan: plansOn(ground),
    lensLabels: ground.lensList?.lenses.map(({ label }) => label) ?? [],
    clock,
    names: randomNames,
    today: () => dayIn(settings.SOUNDINGS_ZONE, clock.now()),
    reach: ownWorkspace,
    rooms,
    answerWithinHours: answerHours(settings.SOUNDINGS_ANSWER_HOURS),
    leads: new Set(listed(settings.SOUNDINGS_LEADS)),
    groups,
  }
}

async function start(settings: Settings, ground: Ground, store: KeptStore, log: Logger, alone: boolean): Promise<Running> {
  let chats: Chats | undefined
  const rooms = roomsOf({ chats: () => chats?.rooms ?? {}, audiences: store.audiences, clock })
  const deps = deskDeps(ground, settings, rooms)
  const handleInbound = (inbound: Inbound, view: DeskView) => handle(inbound, view, deps)
  let wake = () => {}
  const take = (delivery: Delivery) => accept(delivery, { inbox: store.inbox, clock, wake: () => wake() })
  const keep = async (delivery: Delivery) => {
    await take(delivery)
  }
  const asked = formsAndHome(store.view, deps)
  const connected = await connectChats(settings, { accept: keep, clock, log, store, asked, today: deps.today })
  chats = connected
  const answers = waitingAnswers()
  const workers = startWorkers({
    store,
    handle: handleInbound,
    cardFor: (ref) => currentCard(store.view, ref, { withPictures: true }),
    senders: { ...connected.senders, web: { sender: webSender(answers), spacingMs: 0 } },
    department: departmentTime(settings.SOUNDINGS_ZONE, settings.SOUNDINGS_QUIET_HOURS),
    posted: (place) =>
      void rooms.audienceOf(place).catch((fault: unknown) => log.warn({ err: fault }, 'who reads a channel was not found out')),
    clock,
    log,
  })
  wake = workers.wake

  const onFault = (fault: unknown) => log.error({ err: fault }, 'a request could not be answered')
  const page = await pageApp(
    pageNeeds({
      store,
      accept: keep,
      answers,
      today: deps.today,
      hosts: hostsOf(settings),
      asked,
      clock,
      counted: countedOf(settings),
    }),
    onFault,
  )
  const handler: Handler = (request, response) => page.routing(request, response)
  let server: RunningServer
  try {
    server = await startServer({
      host: settings.HOST,
      port: settings.PORT,
      routes: [...probes(store), ...connected.routes],
      page: handler,
      onFault,
    })
  } catch (fault) {
    await Promise.all([workers.stop(), connected.stop(), page.close()])
    throw fault
  }
  log.info({ url: server.url, chats: connected.names }, 'ready')
  let stopping = false
  const settled = (async () => {
    if (alone && settings.SOUNDINGS_DEMO !== 'off') await demonstrate()
    await makeMissingFacts(store.missingFacts, { log, stopped: () => stopping, rest: (ms) => setTimeout(ms) }).catch(
      (fault: unknown) => log.error({ err: fault }, 'the facts of past consults could not be made; the next start tries again'),
    )
  })()
  const running: Running = {
    url: server.url,
    settled,
    // Intake first, then what is under way, then the disk: nothing accepted is left half done.
    stop: async () => {
      stopping = true
      await Promise.all([server.stop(), connected.stop()])
      await page.close()
      await settled
      await workers.stop()
      await store.close()
    },
  }
  return running

  /** Work can be taken already: whoever opens the page at once is served before the invented consult is worked out. */
  async function demonstrate(): Promise<void> {
    await setTimeout(DEMO_AFTER_MS)
    if (stopping) return
    await seedDemo({ trail: store.trail, accept: take, answers, today: clock.now().slice(0, 10) }).catch((fault: unknown) =>
      log.error({ err: fault }, 'the invented consult could not be made'),
    )
  }
}

/** `72,24,2`, as the settings were checked. */
function answerHours(setting: string): AnswerHours {
  const [routine = 0, thisWeek = 0, today = 0] = setting.split(',').map(Number)
  return { routine, 'this-week': thisWeek, today }
}

const countedOf = ({ SOUNDINGS_LEARNING: counts, SOUNDINGS_OPERATIONS: operationsFile }: Settings): LearningSource => ({
  counts,
  ...(operationsFile === undefined ? {} : { operationsFile }),
})

const hostsOf = (settings: Settings): ReadonlySet<string> =>
  new Set(listed(settings.SOUNDINGS_PAGE_HOSTS).map((host) => host.toLowerCase()))
