import { describe, expect, it } from 'vitest'
import type { ConsultEvent } from '../../src/consult/events.js'
import { canonicalJson, contentHash, ERASED, GENESIS, type Link, seal, sha256, unseal } from '../../src/trail/chain.js'
import { type KeptText, verifyChain } from '../../src/trail/verify.js'
import { ASKED, at, CORNEA, RETINA } from '../consult/invented-people.js'

const EVENTS: readonly ConsultEvent[] = [
  ASKED,
  {
    type: 'opinion-given',
    by: CORNEA,
    at: at(2),
    ref: 'MARSH-7',
    revision: 1,
    opinion: { kind: 'agree-with-changes', steps: ['capsulorhexis'], sentence: 'stain it' },
  },
  { ...ASKED, ref: 'QUAY-2', at: at(3) },
  { type: 'comment-made', by: RETINA, at: at(4), ref: 'MARSH-7', text: 'flat on B-scan' },
]

function chained(events: readonly ConsultEvent[]) {
  const texts = new Map<string, KeptText>()
  const versions = new Map<string, number>()
  let salts = 0
  const links: Link[] = []
  for (const [index, event] of events.entries()) {
    const version = (versions.get(event.ref) ?? 0) + 1
    versions.set(event.ref, version)
    const place = { position: index + 1, version, previous: links.at(-1)?.hash ?? GENESIS }
    const { link, texts: committed } = seal(event, place, () => {
      salts += 1
      return `salt ${salts}`
    })
    for (const { commitment, salt, text } of committed) texts.set(commitment, { salt, text })
    links.push(link)
  }
  return { links, texts }
}

describe('a sealed event', () => {
  const { links, texts } = chained(EVENTS)
  const textOf = (commitment: string) => {
    const kept = texts.get(commitment)
    return typeof kept === 'object' ? kept.text : undefined
  }

  it('opens to what was said', () => {
    expect(links.map((link) => unseal(link, textOf))).toEqual(EVENTS)
  })

  it('holds no free text of its own', () => {
    const bodies = links.map(({ body }) => body).join()
    for (const words of ['stain it', 'flat on B-scan', 'Chop, or plan', 'manual extraction']) expect(bodies).not.toContain(words)
  })

  it('commits to the same text differently each time, so that a short text cannot be guessed', () => {
    const two = chained([ASKED, { ...ASKED, ref: 'QUAY-2' }])
    expect(two.texts.size).toBe(4)
  })

  it('opens with a sign where a text was erased', () => {
    expect(links.map((link) => unseal(link, () => undefined))).toMatchObject([
      { question: ERASED },
      { opinion: { kind: 'agree-with-changes', sentence: ERASED } },
      { question: ERASED },
      { text: ERASED },
    ])
  })
})

describe('the chain', () => {
  const verify = (links: readonly Link[], texts: ReadonlyMap<string, KeptText>) =>
    verifyChain(links, (commitment) => texts.get(commitment))

  it('is whole as it was written, and an empty one too', async () => {
    const { links, texts } = chained(EVENTS)
    expect(await verify(links, texts)).toEqual({ intact: true, events: 4, head: links[3]?.hash })
    expect(await verify([], texts)).toEqual({ intact: true, events: 0, head: GENESIS })
  })

  it('stays whole when every text is erased', async () => {
    const { links, texts } = chained(EVENTS)
    expect(await verify(links, new Map([...texts.keys()].map((commitment) => [commitment, 'erased'])))).toMatchObject({
      intact: true,
    })
  })

  it('names the first event that was altered, and rewriting its hash only moves the break', async () => {
    const { links, texts } = chained(EVENTS)
    const second = links[1]
    if (!second) throw new Error('the chain of this test has four links')
    const altered = { ...second, body: second.body.replace('Alder', 'Elder') }
    expect(await verify(links.with(1, altered), texts)).toMatchObject({
      intact: false,
      position: 2,
      ref: 'MARSH-7',
      fault: 'event-altered',
    })
    const forged = { ...altered, hash: sha256(canonicalJson([2, 'MARSH-7', 2, altered.previous, altered.body])) }
    expect(await verify(links.with(1, forged), texts)).toMatchObject({ intact: false, position: 3, fault: 'event-altered' })
  })

  it.each([0, 1, 2])('names event %d when it is missing', async (index) => {
    const { links, texts } = chained(EVENTS)
    expect(await verify(links.toSpliced(index, 1), texts)).toMatchObject({
      intact: false,
      position: index + 1,
      fault: 'event-missing',
    })
  })

  it('names the first event out of its order', async () => {
    const { links, texts } = chained(EVENTS)
    const [first, second, third, fourth] = links
    if (!(first && second && third && fourth)) throw new Error('the chain of this test has four links')
    expect(await verify([first, third, second, fourth], texts)).toMatchObject({
      intact: false,
      position: 2,
      fault: 'event-missing',
    })
    expect(await verify([first, second, second, third], texts)).toMatchObject({
      intact: false,
      position: 3,
      fault: 'event-reordered',
    })
  })
})

describe('canonical JSON', () => {
  // RFC 8785 (2020), JSON Canonicalization Scheme, section 3.2.2 input and section 3.2.3 output.
  it('is that of RFC 8785 for its sample', () => {
    const sample = JSON.parse(
      String.raw`{"numbers":[333333333.33333329,1E30,4.50,2e-3,0.000000000000000000000000001],"string":"\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/","literals":[null,true,false]}`,
    )
    expect(canonicalJson(sample)).toBe(
      String.raw`{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\u000f\nA'B\"\\\\\"/"}`,
    )
  })

  // RFC 8785, section 3.2.3: keys are sorted by UTF-16 code units, so the emoji (a surrogate pair) stands before U+FB33.
  it('sorts keys as RFC 8785 does for its sample', () => {
    const sorted = ['\r', '1', '\u0080', '\u00f6', '\u20ac', '\u{1f600}', '\ufb33']
    const sample = Object.fromEntries(sorted.toReversed().map((key) => [key, 0]))
    expect(canonicalJson(sample)).toBe(`{${sorted.map((key) => `${JSON.stringify(key)}:0`).join(',')}}`)
  })

  it('does not depend on the order in which an object was made', () => {
    expect(contentHash({ b: 1, a: [{ d: -1.75, c: 'x' }] })).toBe(contentHash({ a: [{ c: 'x', d: -1.75 }], b: 1 }))
  })

  it('leaves out what is undefined', () => {
    expect(canonicalJson({ a: undefined, b: 1 })).toBe('{"b":1}')
  })

  it.each([Number.NaN, Number.POSITIVE_INFINITY])('refuses %d rather than writing null', (value) => {
    expect(() => canonicalJson({ value })).toThrow('has no form in JSON')
  })
})
