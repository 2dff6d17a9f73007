import { createHash } from 'node:crypto'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { canonicalJson, contentHash, sha256 } from '../../src/trail/chain.js'
import { exportLines } from '../../src/trail/export-lines.js'
import { importLines, lineFeedsCut, type Restored } from '../../src/trail/import-lines.js'
import type { RecordAct } from '../../src/trail/record-acts.js'
import { collected, trailInMemory } from './trail-in-memory.js'
import { EVENTS, LONG, PLANS, SHORT } from './two-cases.js'

async function* each(lines: readonly string[]) {
  yield* lines
}

const lines = async (trail = trailInMemory(EVENTS, PLANS).trail, chosen = {}) =>
  (await collected(exportLines(trail, chosen, '0.1.0'))).map((line) => line.replace(/\n$/, ''))

async function imported(given: readonly string[]) {
  const kept: Restored[] = []
  const acts: RecordAct[] = []
  const verdict = await importLines(each(given), {
    event: async (restored) => void kept.push(restored),
    act: async (act) => void acts.push(act),
  })
  return { verdict, kept, acts }
}

describe('the JSON lines form', () => {
  it('gives back every link, text, salt and plan', async () => {
    const { trail, links, erase } = trailInMemory(EVENTS, PLANS)
    erase('a sentence that must go')
    const { verdict, kept } = await imported(await lines(trail))
    expect(verdict).toEqual({ imported: true, events: 3, head: links[2]?.hash })
    expect(kept.map(({ link }) => link)).toEqual(links)
    expect(kept.flatMap(({ plan }) => (plan ? [plan.plan] : []))).toEqual(PLANS)
    for (const text of kept.flatMap(({ texts }) => texts)) {
      const stands = await trail.keptText(text.commitment)
      expect('text' in text ? { salt: text.salt, text: text.text } : 'erased').toEqual(stands)
    }
  })

  it('gives back that a plan was erased, and every act on the records', async () => {
    const { trail, erase, erasePlan } = trailInMemory(EVENTS, PLANS)
    erase('a sentence that must go')
    erasePlan(contentHash(SHORT))
    const given = await lines(trail)
    const { verdict, kept, acts } = await imported(given)
    expect(verdict).toMatchObject({ imported: true, events: 3 })
    expect(kept[1]?.plan).toEqual({ hash: contentHash(SHORT), plan: 'erased' })
    expect(acts).toEqual(await collected(trail.recordActs()))
    expect(acts).toHaveLength(2)
    const altered = given.map((line) => line.replace('asked for', 'lost'))
    expect((await imported(altered)).verdict).toMatchObject({
      line: 5,
      message: expect.stringContaining('the act is not the one'),
    })
    const without = given.filter((line) => !line.includes('"number":1'))
    expect((await imported(without)).verdict).toMatchObject({
      line: 5,
      message: expect.stringContaining('the act is not the one'),
    })
  })

  it('is an empty trail too', async () => {
    const { verdict } = await imported(await lines(trailInMemory([]).trail))
    expect(verdict).toMatchObject({ imported: true, events: 0 })
  })

  it('is the same bytes each time, each line one JSON value', async () => {
    const [one, other] = [await lines(), await lines()]
    expect(one).toEqual(other)
    for (const line of one) expect(() => JSON.parse(line)).not.toThrow()
  })

  it('takes only the consults of the days or the reference asked for, and says that it is not the whole', async () => {
    const refs = async (chosen: object) =>
      (await lines(undefined, chosen)).flatMap((line) => (JSON.parse(line) as { ref?: string }).ref ?? [])
    expect(await refs({ ref: 'QUAY-2' })).toEqual(['QUAY-2'])
    expect(await refs({ to: '2026-03-02' })).toEqual(['MARSH-7', 'MARSH-7'])
    expect(await refs({ from: '2026-03-03' })).toEqual(['QUAY-2'])
    expect((await imported(await lines(undefined, { ref: 'QUAY-2' }))).verdict).toMatchObject({
      imported: false,
      line: 1,
      message: 'only some consults were exported',
    })
  })

  it('is not written past a plan or a text that is gone', async () => {
    await expect(collected(exportLines(trailInMemory(EVENTS, [LONG]).trail, {}, '0.1.0'))).rejects.toThrow(
      'Event 2 (QUAY-2): the plan it names is gone',
    )
  })
})

describe('an import refuses', () => {
  const changed = async (line: number, change: (value: Record<string, unknown>) => object) =>
    (await lines()).map((text, index) => (index === line - 1 ? JSON.stringify(change(JSON.parse(text))) : text))

  it.each<readonly [string, number, (value: Record<string, unknown>) => object, string]>([
    ['a newer form', 1, (header) => ({ ...header, formVersion: 3 }), 'form 3'],
    ['a file of another kind', 1, () => ({ some: 'thing' }), 'not the header'],
    [
      'an altered body',
      3,
      (event) => ({ ...event, body: { ...(event['body'] as object), by: { id: 'x', name: 'Lark' } } }),
      'its hash differs',
    ],
    ['an altered hash', 3, (event) => ({ ...event, hash: '0'.repeat(64) }), 'its hash differs'],
    ['an altered reference', 3, (event) => ({ ...event, ref: 'MOOR-1' }), 'its hash differs'],
    [
      'an altered plan',
      2,
      (event) => ({ ...event, plan: { ...(event['plan'] as object), gaps: ['x'] } }),
      'the plan is not the one',
    ],
    ['a plan taken out', 2, ({ plan: _plan, ...event }) => event, 'its plan is missing'],
    ['a plan put in', 4, (event) => ({ ...event, plan: {} }), 'a plan that it does not name'],
    ['a text taken out', 2, (event) => ({ ...event, texts: [] }), 'its texts are not those'],
    ['a field too many', 2, (event) => ({ ...event, more: 1 }), 'more'],
    ['a head that is another', 5, (end) => ({ ...end, head: '0'.repeat(64) }), 'its head is not'],
    ['another count', 5, (end) => ({ ...end, events: 4 }), 'it counts 4 events, 3 stand before it'],
  ])('%s, naming the line', async (_what, line, change, words) => {
    const { verdict } = await imported(await changed(line, change))
    expect(verdict).toMatchObject({ imported: false, line, message: expect.stringContaining(words) })
  })

  it.each(['text', 'salt'])('a changed %s', async (field) => {
    const given = await changed(4, (event) => {
      const [first] = event['texts'] as readonly Record<string, string>[]
      return { ...event, texts: [{ ...first, [field]: 'other' }] }
    })
    expect((await imported(given)).verdict).toMatchObject({ line: 4, message: expect.stringContaining('a text is not the one') })
  })

  it('a text marked as erased that was not, at the end', async () => {
    const given = await changed(4, (event) => {
      const [first] = event['texts'] as readonly { commitment: string }[]
      return { ...event, texts: [{ commitment: first?.commitment, erased: true }] }
    })
    expect((await imported(given)).verdict).toMatchObject({ line: 5, message: expect.stringContaining('marked as erased') })
  })

  it.each(['text', 'plan'])('a %s marked as erased that nobody erased, though the end was made anew for it', async (what) => {
    const given = await lines()
    const event = JSON.parse(given[1] ?? '')
    const forged =
      what === 'text'
        ? { ...event, texts: event.texts.map(({ commitment }: { commitment: string }) => ({ commitment, erased: true })) }
        : { ...event, plan: undefined, planErased: true }
    const before = [given[0] ?? '', canonicalJson(forged), ...given.slice(2, -1)]
    const end = { ...JSON.parse(given.at(-1) ?? ''), sha256: sha256(before.map((line) => `${line}\n`).join('')) }
    const { verdict } = await imported([...before, canonicalJson(end)])
    expect(verdict).toMatchObject({
      line: given.length,
      message: expect.stringContaining('no act before the end says who erased it'),
    })
  })

  it('lines that are missing, doubled, moved, cut off or followed by more', async () => {
    const whole = await lines()
    const [header = '', one = '', two = '', three = '', end = ''] = whole
    const refused = async (...given: readonly string[]) => {
      const { verdict } = await imported(given)
      return verdict.imported ? 'imported' : `${verdict.line}: ${verdict.message}`
    }
    expect(await refused(header, one, three, end)).toContain('3: event 3 stands where event 2 is expected')
    expect(await refused(header, one, one, two, three, end)).toContain('3: event 1 stands where event 2 is expected')
    expect(await refused(header, two, one, three, end)).toContain('2: event 2 stands where event 1 is expected')
    expect(await refused(header, one, two, three)).toContain('5: the end is missing')
    expect(await refused(header, one, two, three, end, header)).toContain('6: something follows the end')
    expect(await refused(header, one, two.slice(0, -9))).toContain('3: it is not JSON')
    expect(await refused()).toContain('1: the end is missing')
  })

  it('an event of a kind that this version does not know', async () => {
    const { linkHash, canonicalJson, GENESIS } = await import('../../src/trail/chain.js')
    const link = {
      position: 1,
      ref: 'MARSH-7',
      version: 1,
      body: canonicalJson({ type: 'consult-sung', ref: 'MARSH-7' }),
      previous: GENESIS,
    }
    const event = { line: 'event', ...link, body: JSON.parse(link.body), hash: linkHash(link), texts: [] }
    const [header = ''] = await lines()
    expect((await imported([header, JSON.stringify(event)])).verdict).toMatchObject({
      line: 2,
      message: 'this version does not know events of the kind "consult-sung"',
      instead: 'Import the file with the version that wrote it, or a later one.',
    })
    const act = { line: 'act', number: 1, at: '', by: '', act: 'hold-sung', ref: '', subject: '', because: '' }
    expect((await imported([header, JSON.stringify(act)])).verdict).toMatchObject({
      line: 2,
      message: 'this version does not know acts of the kind "hold-sung"',
      instead: 'Import the file with the version that wrote it, or a later one.',
    })
  })

  it('no lines of an earlier form, which hold less', async () => {
    const [header = '', ...rest] = await lines()
    const earlier = [header.replace('"formVersion":2', '"formVersion":1'), ...rest.slice(0, -1)]
    const end = JSON.parse(rest.at(-1) ?? '') as object
    const sum = createHash('sha256')
      .update(earlier.map((line) => `${line}\n`).join(''))
      .digest('hex')
    expect((await imported([...earlier, JSON.stringify({ ...end, sha256: sum })])).verdict).toMatchObject({ imported: true })
  })

  it('whatever bytes it is given, without falling over', async () => {
    const whole = await lines()
    await fc.assert(
      fc.asyncProperty(fc.nat(whole.length - 1), fc.string({ maxLength: 40 }), fc.nat(), async (line, put, place) => {
        const text = whole[line] ?? ''
        const where = place % (text.length + 1)
        const altered = whole.with(line, text.slice(0, where) + put + text.slice(where + 3))
        const { verdict } = await imported(altered)
        expect(verdict.imported).toBe(altered[line] === text)
      }),
      { numRuns: 200 },
    )
  })
})

describe('a text cut at its line feeds', () => {
  it('is cut nowhere else, however it arrives', async () => {
    const text = 'one\u2028still one\ntwo\u0085still two\r\nthree'
    for (const size of [1, 3, 1000]) {
      const chunks = Array.from({ length: Math.ceil(text.length / size) }, (_, index) =>
        text.slice(index * size, (index + 1) * size),
      )
      expect(await collected(lineFeedsCut(each(chunks)))).toEqual(['one\u2028still one', 'two\u0085still two\r', 'three'])
    }
  })
})
