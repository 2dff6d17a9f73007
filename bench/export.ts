import { randomUUID } from 'node:crypto'
import { Readable, Writable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { pathToFileURL } from 'node:url'
import { setFlagsFromString } from 'node:v8'
import { runInNewContext } from 'node:vm'
import type { Plan } from '../src/plan/plan.js'
import { GENESIS, seal, sha256 } from '../src/trail/chain.js'
import { exportCsv } from '../src/trail/export-csv.js'
import { exportLines } from '../src/trail/export-lines.js'
import { exportFhir } from '../src/trail/fhir-bundle.js'
import type { TrailReading } from '../src/trail/trail-store.js'
import { consult, inventedPlans, NOW, pick } from './trail.js'

const SMALL = 1_000
const LARGE = 4_000
const LOOKS = 20

setFlagsFromString('--expose-gc')
const collectGarbage = runInNewContext('gc') as () => void

type Source = Pick<TrailReading, 'links' | 'events' | 'plan' | 'planErased' | 'keptText' | 'recordActs'>

/** A trail that is made up while it is read, so that what memory an export needs is its own. */
function madeUp(consults: number, plans: readonly Plan[]): Source {
  const hashOf = (number: number) => sha256(`plan ${number}`)
  const texts = new Map<string, { salt: string; text: string }>()
  return {
    async *links() {
      let previous = GENESIS
      let position = 0
      for (let number = 0; number < consults; number += 1) {
        texts.clear()
        for (const [index, event] of consult(number, plans, hashOf(number)).events.entries()) {
          position += 1
          const sealed = seal(event, { position, version: index + 1, previous }, () => `salt ${position}`)
          for (const { commitment, salt, text } of sealed.texts) texts.set(commitment, { salt, text })
          previous = sealed.link.hash
          yield sealed.link
        }
      }
    },
    events: async (ref) => {
      const number = Number(ref.split('-')[1])
      return consult(number, plans, hashOf(number)).events
    },
    plan: async () => pick(plans, 0),
    planErased: async () => false,
    keptText: async (commitment) => texts.get(commitment),
    async *recordActs() {},
  }
}

/** Exports to nowhere and looks at what is held in memory along the way. */
async function heldAtMost(pieces: AsyncGenerator<string>, expected: number) {
  collectGarbage()
  const before = process.memoryUsage().heapUsed
  const every = Math.max(1, Math.floor(expected / LOOKS))
  let written = 0
  let most = 0
  let bytes = 0
  const began = performance.now()
  await pipeline(
    Readable.from(pieces),
    new Writable({
      write(chunk: Buffer, _encoding, done) {
        written += 1
        bytes += chunk.length
        if (written % every === 0) {
          collectGarbage()
          most = Math.max(most, process.memoryUsage().heapUsed - before)
        }
        done()
      },
    }),
  )
  return { heldKb: most / 1024, seconds: (performance.now() - began) / 1000, mb: bytes / 1e6 }
}

const FORMS = {
  lines: { pieces: (trail: Source) => exportLines(trail, {}, '0.1.0'), perConsult: 3 },
  csv: { pieces: (trail: Source) => exportCsv(trail, { names: false }), perConsult: 1 },
  fhir: {
    pieces: (trail: Source) => exportFhir(trail, { names: false, soundings: '0.1.0', now: NOW, uuid: randomUUID }),
    perConsult: 60,
  },
} as const

/** Memory that an export holds at most, for many consults against few: it must not grow with them. */
export async function run(): Promise<void> {
  const plans = (await inventedPlans()).slice(0, 1)
  const rows: Record<string, Record<string, string | number>> = {}
  for (const [form, { pieces, perConsult }] of Object.entries(FORMS)) {
    await heldAtMost(pieces(madeUp(100, plans)), 100 * perConsult)
    const small = await heldAtMost(pieces(madeUp(SMALL, plans)), SMALL * perConsult)
    const large = await heldAtMost(pieces(madeUp(LARGE, plans)), LARGE * perConsult)
    rows[form] = {
      [`held at most, KB, ${SMALL} consults`]: Math.round(small.heldKb),
      [`held at most, KB, ${LARGE} consults`]: Math.round(large.heldKb),
      ratio: (large.heldKb / small.heldKb).toFixed(2),
      'consults/s': Math.round(LARGE / large.seconds),
      MB: Math.round(large.mb),
    }
  }
  console.table(rows)
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) await run()
