import { afterEach, describe, expect, it } from 'vitest'
import type { SlackDeps } from '../../../adapters/slack/start.js'
import type { Card } from '../../../src/cards/card.js'
import type { Posting } from '../../../src/desk/ports.js'
import { buttonPress, deliver } from '../../fakes/slack-requests.js'
import { NOTE_CARD } from '../../tools/chat-cards.js'
import { A_CARD } from '../../views/a-card.js'
import { type Loopback, startLoopback } from './loopback.js'

let loopback: Loopback
afterEach(() => loopback.stop())

/** The signature of a PNG, and enough after it. */
const PNG = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0, 0, 0, 0])
const place = { platform: 'slack', workspace: 'T0001', channel: 'C0001' } as const
const ALTERNATIVE = 'Axial length 29.60 mm beside an average 23.5 mm.'

const start = async (deps: Partial<SlackDeps> = { pngOf: async () => PNG }) => {
  loopback = await startLoopback(deps)
  return loopback.slack.sender
}

async function postWhole(card: Card): Promise<readonly string[]> {
  const { sender } = loopback.slack
  const sent: string[] = []
  for (let part = 0; part < sender.partsOf(card); part++) {
    const root = sent[0] === undefined ? {} : { root: sent[0] }
    const outcome = await sender.post({ place, card, part, mark: `m-${part}`, ...root })
    if (outcome.outcome !== 'sent') throw new Error(outcome.because)
    sent.push(outcome.message)
  }
  return sent
}

const image = (blocks: readonly unknown[]) => blocks.find((block) => (block as { type?: string }).type === 'image')
const called = (method: string) => loopback.api.calls.filter((call) => call.method === method).length

describe('the picture of a plan on Slack', () => {
  it('stands in the first message under the card, uploaded once, once it is ready, with its numbers in words', async () => {
    await start()
    const sent = await postWhole(A_CARD)
    const [root, picture, ...rest] = loopback.api.posted
    expect(image(root?.blocks ?? [])).toBeUndefined()
    expect(picture?.thread_ts).toBe(sent[0])
    expect(image(picture?.blocks ?? [])).toMatchObject({ alt_text: ALTERNATIVE, slack_file: { id: 'F00000001' } })
    for (const { blocks } of rest) expect(image(blocks)).toBeUndefined()
    expect(called('files.getUploadURLExternal')).toBe(1)
    expect(called('files.info')).toBe(2)

    const posting = { place, card: A_CARD, part: 1, mark: 'm-1', root: sent[0] ?? '' }
    await loopback.slack.sender.update(posting, sent[1] ?? '')
    expect(called('files.getUploadURLExternal')).toBe(1)
  })

  it.each([
    ['getting an address', 'files.getUploadURLExternal', { kind: 'error', error: 'missing_scope' }],
    ['the upload', 'upload', { kind: 'status', status: 500 }],
    ['completing it', 'files.completeUploadExternal', { kind: 'cut' }],
    ['looking at it', 'files.info', { kind: 'rate-limit', retryAfter: 30 }],
  ] as const)('is told in words when %s fails, and nothing is tried twice', async (_, method, how) => {
    await start()
    loopback.api.misbehave(method, how)
    await postWhole(A_CARD)
    expect(image(loopback.api.posted[1]?.blocks ?? [])).toBeUndefined()
    expect(JSON.stringify(loopback.api.posted[1]?.blocks)).toContain(ALTERNATIVE)
    expect(called('files.getUploadURLExternal')).toBeLessThan(2)
    expect(loopback.logged.some((line) => line.includes('shown in words'))).toBe(true)
  })

  it('that never becomes ready is told in words', async () => {
    await start()
    loopback.api.surfaces.readyAfter = 100
    await postWhole(A_CARD)
    expect(JSON.stringify(loopback.api.posted[1]?.blocks)).toContain(ALTERNATIVE)
  })

  it('that Slack will not show after all is told in words, in one message', async () => {
    await start()
    const messages = loopback.slack.sender.partsOf(A_CARD)
    await loopback.slack.sender.post({ place, card: A_CARD, part: 0, mark: 'm-0' })
    loopback.api.misbehave('chat.postMessage', { kind: 'error', error: 'invalid_blocks' })
    const root = loopback.api.posted[0]?.ts ?? ''
    await loopback.slack.sender.post({ place, card: A_CARD, part: 1, mark: 'm-1', root })
    expect(loopback.api.posted).toHaveLength(2)
    expect(JSON.stringify(loopback.api.posted[1]?.blocks)).toContain(ALTERNATIVE)
    expect(messages).toBeGreaterThan(2)
  })

  it('changes no other message: a card has as many without it', async () => {
    const sender = await start({})
    await postWhole(A_CARD)
    const inWords = loopback.api.posted.map(({ blocks }) => blocks.length)
    expect(JSON.stringify(loopback.api.posted[1]?.blocks)).toContain(ALTERNATIVE)
    expect(inWords).toHaveLength(sender.partsOf(A_CARD))
    expect(called('files.getUploadURLExternal')).toBe(0)
  })

  it('of the risks is a message of its own beside it, and the words of the risks stay in the thread', async () => {
    await start()
    const bars = { kind: 'picture', svg: '<svg>bars</svg>', alternative: 'Capsule rupture, registrar: 14 in 100.' } as const
    const sections = A_CARD.sections.map((one) => (one.id === 'risks' ? { ...one, blocks: [bars, ...one.blocks] } : one))
    await postWhole({ ...A_CARD, sections })
    const [, plan, risks, ...rest] = loopback.api.posted
    expect(image(plan?.blocks ?? [])).toMatchObject({ alt_text: ALTERNATIVE })
    expect(image(risks?.blocks ?? [])).toMatchObject({ alt_text: bars.alternative })
    expect(risks?.text).toContain('Risks')
    expect(called('files.getUploadURLExternal')).toBe(2)
    expect(JSON.stringify(rest)).toContain('55,567 operations')
  })

  it('says the same after a restart, so that its message is left alone and it is not uploaded again', async () => {
    const before = (await start()).contentOf?.(A_CARD, 1)
    await loopback.stop()
    expect((await start()).contentOf?.(A_CARD, 1)).toBe(before)
    expect(before).toContain('<svg')
  })

  it('that was redrawn is a change of its own message', async () => {
    const sender = await start()
    const [section, ...others] = A_CARD.sections
    const [block] = section?.blocks ?? []
    if (section === undefined || block?.kind !== 'picture') throw new Error('the card has no picture')
    const redrawn = { ...A_CARD, sections: [{ ...section, blocks: [{ ...block, svg: '<svg/>' }] }, ...others] }
    expect(sender.contentOf?.(redrawn, 1)).not.toBe(sender.contentOf?.(A_CARD, 1))
    expect(sender.contentOf?.(redrawn, 0)).toBe(sender.contentOf?.(A_CARD, 0))
  })
})

describe('a note in the thread on Slack', () => {
  const root = async (): Promise<string> => (await postWhole(A_CARD))[0] ?? ''
  const noteIn = (root: string, mentions: readonly string[], card = NOTE_CARD): Posting => ({
    place,
    card,
    part: 0,
    root,
    mark: 'note-1',
    note: { mentions },
  })

  it('stands in the thread of the card, marked, and tells whom it is for', async () => {
    const sender = await start({})
    // a name is known once its owner has been heard of
    await deliver(loopback.url, buttonPress(undefined))
    const does = { action: 'give-opinion', ref: 'MARSH-7', revision: 1, opinion: 'agree' }
    await deliver(loopback.url, buttonPress(JSON.stringify(does)))
    const ts = await root()
    const outcome = await sender.post(
      noteIn(ts, ['slack:T0001:U0001', 'odile finch', 'Retina team', 'teams:x:y', 'slack:T9:U0003']),
    )
    expect(outcome.outcome).toBe('sent')
    const note = loopback.api.posted.at(-1)
    expect(note).toMatchObject({ thread_ts: ts, text: NOTE_CARD.summary })
    expect(note?.metadata).toMatchObject({ event_payload: { mark: 'note-1' } })
    const [mentions] = (note?.blocks ?? []) as { elements: { elements: object[] }[] }[]
    expect(mentions?.elements[0]?.elements.filter((one) => !('text' in one) || one.text !== ' ')).toEqual([
      { type: 'user', user_id: 'U0001' },
      { type: 'user', user_id: 'U0002' },
      { type: 'text', text: 'Retina team' },
    ])
  })

  it('that is long goes on at once, and is never cut', async () => {
    const sender = await start({})
    const items = Array.from(
      { length: 200 },
      (_, index) => `Precaution number ${index}: ${'ask once more before the lens is chosen. '.repeat(4)}`,
    )
    const ts = await root()
    const before = loopback.api.posted.length
    await sender.post(noteIn(ts, [], { ...NOTE_CARD, first: [{ kind: 'list', items }] }))
    const said = loopback.api.posted
      .slice(before)
      .map(({ blocks }) => JSON.stringify(blocks))
      .join('')
    for (const [index] of items.entries()) expect(said).toContain(`Precaution number ${index}:`)
    expect(loopback.api.posted.slice(before).every(({ thread_ts }) => thread_ts === ts)).toBe(true)
  })

  it('whose answer was lost is found again by its mark', async () => {
    const sender = await start({})
    const ts = await root()
    loopback.api.misbehave('chat.postMessage', { kind: 'lost-answer' })
    const since = new Date(Date.now() - 1_000).toISOString()
    const posting = noteIn(ts, [])
    expect((await sender.post(posting)).outcome).toBe('unknown')
    expect(await sender.lookFor(posting, since)).toEqual({ found: loopback.api.posted.at(-1)?.ts })
  })
})
