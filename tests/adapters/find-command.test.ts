import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type FindOptions, findCommand } from '../../adapters/find-command.js'
import { openReading, openStore } from '../../adapters/store/open.js'
import { type Effects, NO_EFFECTS } from '../../src/desk/store.js'
import { ASKER, at, CORNEA, PLACE } from '../consult/invented-people.js'
import { askedAs, said } from '../contracts/store-contract-cases.js'
import { postgresIsThere, startPostgres } from '../tools/postgres.js'
import { trailFolder } from './a-trail-file.js'

const files = trailFolder()
afterAll(files.clear)

/** An invented trail: 25 long eyes a day apart, one in a direct message, one with an opinion and an outcome. */
async function writeTrail(url: string): Promise<void> {
  const store = await openStore(url, at(0))
  const put = async (key: string, effects: Partial<Effects>) => {
    await store.inbox.put({ key, inbound: said('x') }, at(0))
    const waiting = await store.inbox.next(at(59))
    if (!waiting || (await store.inbox.commit(waiting.seq, { ...NO_EFFECTS, ...effects }, at(1))) !== 'committed')
      throw new Error('not committed')
  }
  const ask = async (ref: string, more: Parameters<typeof askedAs>[2]) => {
    const { event, plan } = askedAs(ref, 'Chop, or plan a manual extraction?', more)
    await put(ref, { events: [event], plans: [plan] })
  }
  for (let day = 1; day <= 25; day += 1) {
    await ask(`STONE-${day}`, { axialLengthMm: 28 + day / 10, at: `2026-01-${String(day).padStart(2, '0')}T09:00:00.000Z` })
  }
  await ask('REED-1', { axialLengthMm: 33, at: at(1), place: { ...PLACE, channel: 'D1' } })
  await put('answers', {
    expected: 1,
    events: [
      {
        type: 'opinion-given',
        by: CORNEA,
        at: at(2),
        ref: 'STONE-3',
        revision: 1,
        opinion: { kind: 'agree-with-changes', steps: ['nucleus'], sentence: 'larger rhexis, ring ready' },
      },
      {
        type: 'outcome-recorded',
        by: ASKER,
        at: at(3),
        ref: 'STONE-3',
        outcome: { stage: 'operation', lens: { powerD: 9 }, complications: ['posterior-capsule-rupture'] },
      },
    ],
  })
  await store.close()
}

async function find(url: string, words: string | readonly string[], options: Partial<FindOptions> = {}) {
  const { trail, close } = await openReading(url)
  const shown = { out: '', err: '' }
  const code = await findCommand(typeof words === 'string' ? [words] : words, { json: false, ...options }, trail, {
    out: (text) => {
      shown.out += text
    },
    err: (text) => {
      shown.err += text
    },
    width: 100,
    today: '2026-11-24',
  })
  await close()
  return { code, ...shown, refs: [...shown.out.matchAll(/^([A-Z]+-\d+) {2}/gm)].map(([, ref]) => ref) }
}

describe('soundings find', () => {
  const url = `sqlite:${files.freshPath()}`
  beforeAll(() => writeTrail(url))

  it('takes ranges, days, an eye, a person, a step and an outcome, as a chat does', async () => {
    expect((await find(url, 'AL 28.15-28.35')).refs).toEqual(['STONE-3', 'STONE-2'])
    expect((await find(url, ['AL', 'over', '30.3', 'to:2026-01'])).refs).toEqual(['STONE-25', 'STONE-24'])
    expect((await find(url, 'eye:left by:Alder step:nucleus')).refs).toEqual(['STONE-3'])
    expect((await find(url, 'outcome:rupture')).refs).toEqual(['STONE-3'])
    expect((await find(url, 'eye:right')).refs).toEqual([])
  })

  it('says of each who asked, how many answered, what the eye is, where the words stand and what came of it', async () => {
    const { code, out, err } = await find(url, 'rhexis')
    expect([code, err]).toEqual([0, ''])
    expect(out).toMatch(/^STONE-3 {2}2026-01-03 {2}asked by Wren.* {2}1 answer\n {2}Left eye/)
    expect(out).toContain('larger [rhexis], ring ready')
    expect(out).toContain('outcome: Operation · lens +9.0 D · complications: posterior capsule rupture')
  })

  it('finds what is in a direct message too: whoever holds the database holds all of it', async () => {
    expect((await find(url, 'AL>32')).refs).toEqual(['REED-1'])
  })

  it('gives a page at a time and says on the other stream which part it is', async () => {
    const first = await find(url, 'AL>28 to:2026-01')
    expect(first.refs).toHaveLength(20)
    expect(first.err).toContain('These are 1 to 20 of 25.\nFor more: --page 2\n')
    const second = await find(url, 'AL>28 to:2026-01', { page: '2' })
    expect(second.refs).toEqual(['STONE-5', 'STONE-4', 'STONE-3', 'STONE-2', 'STONE-1'])
    expect(second.err).not.toContain('For more')
    expect((await find(url, 'AL>28 to:2026-01 page 2')).refs).toEqual(second.refs)
    expect((await find(url, 'AL>28 to:2026-01', { page: '3' })).err).toContain('There are only 25')
  })

  it('gives a line of JSON for each, with units in the names and what is not known left out', async () => {
    const { out } = await find(url, 'rhexis', { json: true })
    const lines = out.trim().split('\n')
    expect(lines).toHaveLength(1)
    expect(JSON.parse(lines[0] ?? '')).toMatchObject({
      ref: 'STONE-3',
      askedBy: { id: ASKER.id, name: ASKER.name },
      opinions: 1,
      eye: 'left',
      facts: { axialLengthMm: 28.3 },
      excerpt: 'larger [rhexis], ring ready',
    })
  })

  it('counts those of which a fact is not known, and says when nothing is found', async () => {
    expect((await find(url, 'AL>28 pupil<4')).err).toContain('26 more do not state what you ask for')
    const { code, err } = await find(url, 'no-such-word')
    expect(code).toBe(0)
    expect(err).toContain('Nothing found for “no-such-word”.')
  })

  it.each([
    [['step:chopping'], {}, 'There is no such step'],
    [['AL>'], {}, 'A number is missing after the sign'],
    [['AL', 'under', '2800'], {}, 'is no AL that an eye has'],
    [['?'], {}, 'Nothing to look for was written'],
    [['brown', '--jsn'], {}, '--jsn: there is no such option'],
    [['brown'], { page: 'two' }, '--page two: write a number from 1'],
  ])('refuses %j with %j and searches nothing', async (words, options, because) => {
    const { code, out, err } = await find(url, words, options)
    expect([code, out]).toEqual([2, ''])
    expect(err).toContain(because)
  })

  it('takes a negative number as it stands', async () => {
    const { code, err } = await find(url, ['target', 'under', '-9'])
    expect([code, err.includes('Nothing found')]).toEqual([0, true])
  })
})

describe.runIf(postgresIsThere())('soundings find in PostgreSQL', () => {
  it('finds the same', async () => {
    const server = await startPostgres()
    try {
      const url = await server.freshSchema()
      await writeTrail(url)
      expect((await find(url, 'AL 28.15-28.35')).refs).toEqual(['STONE-3', 'STONE-2'])
      expect((await find(url, 'rhexis')).out).toContain('larger [rhexis], ring ready')
      expect((await find(url, 'AL>28 to:2026-01', { page: '2' })).refs).toHaveLength(5)
    } finally {
      await server.stop()
    }
  }, 60_000)
})
