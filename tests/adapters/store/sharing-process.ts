import { pino } from 'pino'
import { openPostgresStore } from '../../../adapters/store/postgres/open.js'
import { startWorkers } from '../../../adapters/workers/start.js'
import type { ConsultEvent } from '../../../src/consult/events.js'
import type { Sender } from '../../../src/desk/ports.js'
import { NO_EFFECTS } from '../../../src/desk/store.js'
import { askedAs } from '../../contracts/store-contract-cases.js'

/**
 * One of several processes that share a trail. Each case it handles becomes a consult with a card, each sentence a comment on
 * the one consult that all talk about; it says on its output what it posted, as `post MARK`.
 */
const [url = '', name = ''] = process.argv.slice(2)
const now = () => new Date().toISOString()
const store = await openPostgresStore(url, now())
const card = { title: 'A card', summary: '', first: [], sections: [], choices: [], typing: '', footer: '' }

const sender: Sender = {
  partsOf: () => 1,
  async post({ mark }) {
    process.stdout.write(`post ${mark}\n`)
    await new Promise((resolve) => setTimeout(resolve, 3))
    return { outcome: 'sent', message: `message ${mark}` }
  },
  update: async () => ({ outcome: 'sent', message: '' }),
  lookFor: async () => 'not-found',
  answer: async () => ({ outcome: 'sent', message: '' }),
}

const workers = startWorkers({
  store,
  async handle(inbound, view) {
    if (inbound.kind !== 'text') return NO_EFFECTS
    const [what, number] = inbound.text.split(' ')
    if (what === 'case') {
      const ref = `MARSH-${number}`
      const { event, plan } = askedAs(ref, `Chop in case ${number}?`, { axialLengthMm: 25 + (Number(number) % 50) / 10 })
      return { ...NO_EFFECTS, events: [event], plans: [plan], outbound: [{ kind: 'consult-card', ref, place: inbound.place }] }
    }
    const expected = (await view.events('TARN-1')).length
    const comment: ConsultEvent = { type: 'comment-made', by: inbound.by, at: now(), ref: 'TARN-1', text: inbound.text }
    return { ...NO_EFFECTS, events: [comment], expected }
  },
  cardFor: async () => card,
  senders: { slack: { sender, spacingMs: 0 } },
  clock: { now },
  log: pino({ level: 'error', base: { name } }, pino.destination(2)),
  intervalMs: 20,
})

process.stdout.write('ready\n')
process.once('SIGTERM', () => void workers.stop().then(() => store.close()))
