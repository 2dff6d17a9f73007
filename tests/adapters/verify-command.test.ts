import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { packText, unpackText } from '../../adapters/store/text-packing.js'
import { canonicalJson, sha256 } from '../../src/trail/chain.js'
import { postgresIsThere, startPostgres, type TestPostgres } from '../tools/postgres.js'
import { CHANGES, ONLY_IN_POSTGRES, ONLY_IN_SQLITE } from './changes-by-hand.js'
import { type Change, postgresBench, sqliteBench, type VerifyBench } from './verify-bench.js'

const KEY = 'a key of these tests, which is long enough'

function verifying(name: string, open: (secret?: string) => Promise<VerifyBench>, own: typeof CHANGES): void {
  describe(`soundings verify on ${name}`, () => {
    let bench: VerifyBench
    let keyed: VerifyBench
    beforeAll(async () => {
      bench = await open()
      keyed = await open(KEY)
    })
    afterAll(async () => {
      await bench.close()
      await keyed.close()
    })

    const planOf = async (position: number): Promise<string> => {
      return (JSON.parse(await kept(`select body as bytes from events where position = ${position}`)) as { planHash: string })
        .planHash
    }
    const kept = async (query: string): Promise<string> => {
      const [row] = await bench.ask(query)
      return unpackText(row?.['bytes'] as Uint8Array)
    }
    const exchanged = async (query: string, from: string, to: string): Promise<Uint8Array> => {
      const before = await kept(query)
      if (!before.includes(from)) throw new Error(`${from} does not stand in ${before}`)
      return packText(before.replace(from, to))
    }
    const changeBy =
      (statement: string): Change =>
      async (ask) => {
        const inBytes = async (kind: string, inside: string): Promise<Uint8Array | string> => {
          const [number = '', from = '', to = ''] = inside.split('; ')
          if (kind === 'PLAN') return planOf(Number(number))
          if (kind === 'PACKED') return packText(inside)
          if (kind === 'BODY') return exchanged(`select body as bytes from events where position = ${number}`, from, to)
          if (kind === 'FACTS') return exchanged(`select row as bytes from facts where consult = ${number}`, from, to)
          return inside
        }
        let asked = statement.replace('OVERRIDING', bench.overriding)
        for (const [whole, kind = '', inside = ''] of statement.matchAll(/\b(PLAN|PACKED|BODY|FACTS|BYTES)\(([^)]*)\)/g)) {
          const bytes = await inBytes(kind, inside)
          asked = asked.replace(whole, bench.bytes(typeof bytes === 'string' ? bytes : Buffer.from(bytes).toString('hex')))
        }
        await ask(asked)
      }

    it('says of a whole trail what it holds, with a head and a checkpoint to note elsewhere', async () => {
      const { code, out, err, head, checkpoint } = await bench.verifyAfter(async () => {})
      expect(err).toBe('')
      expect(code).toBe(0)
      expect(out).toContain('5 events, 3 consults, 3 plans (1 erased), 8 texts (2 erased)')
      expect(head).toMatch(/^[0-9a-f]{64}$/)
      expect(checkpoint).toMatch(new RegExp(`^5-${head}\\.4-[0-9a-f]{64}\\.2-[0-9a-f]{64}\\.\\d+$`))
    })

    it('changes nothing', async () => {
      const rows = () => bench.ask('select (select count(*) from events) as events, (select state from seals) as state')
      const before = await rows()
      await bench.verifyAfter(async () => {})
      expect(await rows()).toEqual(before)
    })

    it('names an event whose body was exchanged together with its hash for something that is none', async () => {
      const [row] = await bench.ask('select previous from events where position = 5')
      const previous = Buffer.from(row?.['previous'] as Uint8Array).toString('hex')
      const hash = sha256(canonicalJson([5, 'HEATH-4', 1, previous, 'no event']))
      const change = changeBy(`update events set body = PACKED(no event), hash = BYTES(${hash}) where position = 5`)
      expect(await bench.verifyAfter(change)).toMatchObject({
        code: 1,
        err: expect.stringContaining('Event 5: it cannot be read'),
      })
    })

    describe('one row changed by hand', () => {
      it.each([...CHANGES, ...own])('is found out: %s', async (statement, named) => {
        const { code, err } = await bench.verifyAfter(changeBy(statement))
        expect(err).toContain(named)
        expect(code).toBe(1)
      })
    })

    describe('a log cut at its end', () => {
      const LAST = {
        events: [
          'delete from events where position = 5',
          "delete from facts where consult = (select number from consults where ref = 'HEATH-4')",
          "delete from consults where ref = 'HEATH-4'",
        ],
        accesses: ['delete from accesses where number = 2'],
        record_acts: ['delete from record_acts where number = 4'],
      } as const
      const cut =
        (log: keyof typeof LAST): Change =>
        async (ask) => {
          for (const statement of LAST[log]) await ask(statement)
        }

      it.each([
        ['events', 'the events end at number 4, 5 were written'],
        ['accesses', 'the accesses end at number 1, 2 were written'],
        ['record_acts', 'the acts on the records end at number 3, 4 were written'],
      ] as const)('is missed by the seals: %s', async (log, words) => {
        expect(await bench.verifyAfter(cut(log))).toMatchObject({ code: 1, err: expect.stringContaining(`seals: ${words}`) })
      })

      it.each([
        ['events', 'the events end at number 4, 5 were noted'],
        ['accesses', 'the accesses end at number 1, 2 were noted'],
        ['record_acts', 'the acts on the records end at number 3, 4 were noted'],
      ] as const)('is missed by a checkpoint that was noted before, whatever the seals say: %s', async (log, words) => {
        const { checkpoint } = await bench.verifyAfter(async () => {})
        const { code, err } = await bench.verifyAfter(cut(log), { checkpoint })
        expect(err).toContain(`MISSING: ${words}`)
        expect(code).toBe(1)
      })

      it('and an earlier head is found in a trail that has grown, and missed in one that was cut', async () => {
        const { head, checkpoint } = await bench.verifyAfter(async () => {})
        const shorter = await bench.verifyAfter(cut('events'), { checkpoint: head })
        expect(shorter).toMatchObject({ code: 1, err: expect.stringContaining(`MISSING: no event has the hash ${head}`) })
        const grown = await bench.verifyAfter(async () => {}, { checkpoint: shorter.head.toUpperCase() })
        expect(grown).toMatchObject({ code: 0, out: expect.stringContaining('checkpoint found at event 4') })
        expect(await bench.verifyAfter(async () => {}, { checkpoint })).toMatchObject({
          code: 0,
          out: expect.stringContaining('checkpoint found at event 5'),
        })
      })
    })

    it('misses what a checkpoint says of a log that was written anew, and of older tables that were put back', async () => {
      const { checkpoint } = await bench.verifyAfter(async () => {})
      const otherwise = checkpoint.replace(/\.2-./, (start) => (start === '.2-0' ? '.2-1' : '.2-0'))
      expect(await bench.verifyAfter(async () => {}, { checkpoint: otherwise })).toMatchObject({
        code: 1,
        err: expect.stringContaining('the accesses up to number 2 are not those that were noted'),
      })
      const later = checkpoint.replace(/\d+$/, (changes) => String(Number(changes) + 1))
      expect(await bench.verifyAfter(async () => {}, { checkpoint: later })).toMatchObject({
        code: 1,
        err: expect.stringContaining('an older copy of the other tables was put back'),
      })
    })

    it('says what a checkpoint looks like', async () => {
      expect(await bench.verifyAfter(async () => {}, { checkpoint: 'abc' })).toMatchObject({
        code: 2,
        err: expect.stringContaining('64 hexadecimal'),
      })
    })

    it('needs the key that a trail is sealed with, and says which setting it is', async () => {
      expect(await keyed.verifyAfter(async () => {})).toMatchObject({ code: 0, err: '' })
      expect(await keyed.verifyAfter(async () => {}, { secret: `${KEY}, another` })).toMatchObject({
        code: 1,
        err: expect.stringContaining('set SOUNDINGS_SEAL_KEY to the one it was sealed with'),
      })
      expect(await bench.verifyAfter(async () => {}, { secret: KEY })).toMatchObject({
        code: 1,
        err: expect.stringContaining('The trail is sealed without a key'),
      })
      // Whoever takes the key's mark away does not make the trail one without a key.
      expect(await keyed.verifyAfter((ask) => ask("update seals set kind = 'salt'"))).toMatchObject({ code: 1 })
    })
  })
}

verifying('SQLite', sqliteBench, ONLY_IN_SQLITE)

describe.runIf(postgresIsThere())('PostgreSQL', () => {
  let server: TestPostgres
  beforeAll(async () => {
    server = await startPostgres()
  })
  afterAll(() => server.stop())
  verifying('PostgreSQL', (secret) => postgresBench(server, secret), ONLY_IN_POSTGRES)
})
