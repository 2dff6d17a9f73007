import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { readGround } from '../../adapters/ground.js'
import { recomputeCommand } from '../../adapters/recompute-command.js'
import { openReading, openStore } from '../../adapters/store/open.js'
import { makePlan, type PlanGround } from '../../src/plan/make-plan.js'
import type { Plan } from '../../src/plan/plan.js'
import { contentHash } from '../../src/trail/chain.js'
import { ASKED, at } from '../consult/invented-people.js'
import { storeBench } from '../contracts/store-bench.js'
import { longBrownEye, said } from '../plan/a-case.js'
import { postgresIsThere, startPostgres, type TestPostgres } from '../tools/postgres.js'
import { trailFolder } from './a-trail-file.js'

const files = trailFolder()
afterAll(files.clear)
let ground: PlanGround
beforeAll(async () => {
  const read = await readGround({}, 'allowed')
  if ('faults' in read) throw new Error(read.faults.join())
  ground = read.ground
})

/** Past plans made again, over the trail at an address of a database. */
function recomputing(name: string, freshUrl: () => Promise<string>): void {
  describe(`past plans in ${name}`, () => {
    let url: string
    beforeAll(async () => {
      url = await freshUrl()
      const store = await openStore(url, at(0))
      const bench = storeBench(() => store)
      const put = async (ref: string, plan: Plan) => {
        const hash = contentHash(plan)
        expect(await bench.bringAbout({ events: [{ ...ASKED, ref, planHash: hash }], plans: [{ hash, plan }] })).toBe('committed')
      }
      await put('MARSH-7', await makePlan(longBrownEye(), ground))
      await put('QUAY-2', await makePlan(longBrownEye({ axialLengthMm: said(26.1) }), ground))
      await put('HEATH-4', await makePlan(longBrownEye(), { ...ground, soundings: '0.0.1' }))
      await store.close()
    })

    async function recomputed(recompute: (known: Plan['case']) => Promise<Plan>) {
      const { trail, close } = await openReading(url)
      const words = { out: '', err: '' }
      const adding = (to: 'out' | 'err') => (text: string) => {
        words[to] += text
      }
      const code = await recomputeCommand(trail, recompute, { out: adding('out'), err: adding('err') }).finally(close)
      return { code, ...words }
    }

    it('come out the same to the bit under the same versions; those of other versions are only read', async () => {
      expect(await recomputed((known) => makePlan(known, ground))).toEqual({
        code: 0,
        err: '',
        out: expect.stringContaining('2 plans of the present versions made again: the same to the bit; 1 of other versions'),
      })
    })

    it('that come out otherwise are named, with the place and both values', async () => {
      const otherwise = async (known: Plan['case']) => {
        const plan = await makePlan(known, ground)
        const [first, ...rest] = plan.lens.formulas
        if (!first || known.axialLengthMm?.value === 26.1) return plan
        const formulas = [{ ...first, axialLengthUsedMm: first.axialLengthUsedMm + Number.EPSILON * 16 }, ...rest]
        return { ...plan, lens: { ...plan.lens, formulas } }
      }
      const { code, out, err } = await recomputed(otherwise)
      expect(out).toContain('1 DIFFER')
      expect(err).toMatch(/^plan of event 1 \(MARSH-7\): lens\.formulas\.0\.axialLengthUsedMm: \d+(\.\d+)? → \d+\.\d+\n/)
      expect(err).toContain('What was shown is what is stored.')
      expect(code).toBe(1)
    })
  })
}

recomputing('SQLite', async () => `sqlite:${files.freshPath()}`)

describe.runIf(postgresIsThere())('PostgreSQL', () => {
  let server: TestPostgres
  beforeAll(async () => {
    server = await startPostgres()
  })
  afterAll(() => server.stop())
  recomputing('PostgreSQL', () => server.freshSchema())
})
