import { afterEach, describe, expect, it } from 'vitest'
import { drawPng } from '../../../adapters/png/draw.js'
import type { TeamsDeps } from '../../../adapters/teams/start.js'
import type { Card } from '../../../src/cards/card.js'
import { planPicture } from '../../../src/cards/picture.js'
import { riskPicture } from '../../../src/cards/risk-picture.js'
import type { Posting } from '../../../src/desk/ports.js'
import { A_PLAN } from '../../cards/a-plan.js'
import { BOT_ID, CHANNEL, changed, channelMessage, ODILE } from '../../fakes/teams-activities.js'
import { TENANT } from '../../fakes/teams-tokens.js'
import { NOTE_CARD } from '../../tools/chat-cards.js'
import { A_CARD } from '../../views/a-card.js'
import { type Loopback, startLoopback } from './loopback.js'

let loopback: Loopback
afterEach(() => loopback.stop())

const place = { platform: 'teams', workspace: TENANT, channel: CHANNEL } as const
const start = async (deps: Partial<TeamsDeps> = {}) => {
  loopback = await startLoopback(deps)
  // the bot has been heard from there, so that it knows where to send
  await loopback.deliver(channelMessage('hello'))
  loopback.inbox.kept.length = 0
  return loopback.teams.sender
}

describe('a message of a thread on Teams', () => {
  it('that was edited is told with its own id and as it reads now', async () => {
    await start()
    await loopback.deliver(changed('messageUpdate', 'agree, and mark the axis'))
    expect(loopback.inbox.kept).toMatchObject([
      {
        inbound: {
          kind: 'edited',
          message: '1790000060000',
          text: 'agree, and mark the axis',
          by: { name: 'Odile Finch' },
          place: { ...place, thread: '1790000050000' },
        },
      },
    ])
  })

  it('that was edited twice is two deliveries, each of which may arrive twice', async () => {
    await start()
    const later = { at: '2026-11-24T10:09:00.000Z' }
    for (const more of [{}, {}, later, later]) await loopback.deliver(changed('messageUpdate', 'agree', more))
    expect(loopback.inbox.kept).toHaveLength(2)
  })

  it('that was deleted is told without what it said', async () => {
    await start()
    await loopback.deliver(changed('messageDelete', 'agree'))
    expect(loopback.inbox.kept[0]?.inbound).toMatchObject({ kind: 'deleted', message: '1790000060000' })
    expect(loopback.inbox.kept[0]?.inbound).not.toHaveProperty('text')
  })

  it.each([
    ['in a thread without a consult', {}, false],
    ['that is the first of its thread', { root: '1790000060000' }, true],
    ['that a bot wrote', { from: { id: BOT_ID } }, true],
  ])('%s is left alone', async (_, more, here) => {
    await start({ holdsConsult: () => here })
    await loopback.deliver(changed('messageUpdate', 'agree', more))
    expect(loopback.inbox.kept).toEqual([])
  })

  it('that shows a picture is noted, with neither its name nor where it lies', async () => {
    await start()
    const picture = { contentType: 'image/png', name: 'Smith John.png', contentUrl: 'https://files.example/1' }
    const body = { ...channelMessage('', { mention: false, root: '1790000050000', from: ODILE }), attachments: [picture] }
    await loopback.deliver(body)
    expect(loopback.inbox.kept[0]?.inbound).toMatchObject({ kind: 'picture', message: '1790000100000' })
    expect(JSON.stringify(loopback.inbox.kept)).not.toMatch(/Smith|files\.example/)
  })
})

const ALTERNATIVE = 'Axial length 29.60 mm beside an average 23.5 mm.'
const drawn = planPicture(A_PLAN) ?? expect.unreachable()
const DRAWN_CARD: Card = {
  ...A_CARD,
  sections: [{ id: 'picture', title: 'Picture', blocks: [drawn] }, ...A_CARD.sections.filter(({ id }) => id !== 'picture')],
}

async function postWhole(card: Card): Promise<readonly string[]> {
  const { sender } = loopback.teams
  const sent: string[] = []
  for (let part = 0; part < sender.partsOf(card); part++) {
    const root = sent[0] === undefined ? {} : { root: sent[0] }
    const outcome = await sender.post({ place, card, part, mark: `m-${part}`, ...root })
    if (outcome.outcome !== 'sent') throw new Error(outcome.because)
    sent.push(outcome.message)
  }
  return sent
}

describe('the picture of a plan on Teams', () => {
  it('stands inside the first message under the card, with its numbers in words, and within what a message may hold', async () => {
    await start({ pngOf: drawPng })
    await postWhole(DRAWN_CARD)
    const [root, picture, ...rest] = loopback.connector.standing
    expect(picture?.conversation).toBe(`${CHANNEL};messageid=${root?.id}`)
    expect(picture?.pictures).toHaveLength(1)
    expect(JSON.stringify(picture?.card)).toContain('29.60 mm')
    for (const one of [root, ...rest]) expect(one?.pictures).toEqual([])
  })

  it('is a message of its own for each, each within what a message may hold, the bars of the risks too', async () => {
    const drawnRisks = riskPicture(A_PLAN) ?? expect.unreachable()
    const sections = DRAWN_CARD.sections.map((one) =>
      one.id === 'risks' ? { ...one, blocks: [drawnRisks, ...one.blocks] } : one,
    )
    await start({ pngOf: drawPng })
    await postWhole({ ...DRAWN_CARD, sections })
    const [, plan, risks, ...rest] = loopback.connector.standing
    for (const [message, words] of [
      [plan, '29.60 mm'],
      [risks, drawnRisks.alternative.slice(0, 60)],
    ] as const) {
      expect(message?.pictures).toHaveLength(1)
      expect(JSON.stringify(message?.card)).toContain(words)
    }
    for (const one of rest) expect(one?.pictures).toEqual([])
    expect(JSON.stringify(rest)).toContain('55,567')
  })

  it('is told in words where it cannot be drawn, where it is too large, and where Teams refuses it', async () => {
    const large = Buffer.alloc(40_000, 7)
    for (const pngOf of [
      async () => {
        throw new Error('no thread')
      },
      async () => large,
    ]) {
      await start({ pngOf })
      await postWhole(A_CARD)
      expect(loopback.connector.standing[1]?.pictures).toEqual([])
      expect(JSON.stringify(loopback.connector.standing[1]?.card)).toContain(ALTERNATIVE)
      await loopback.stop()
    }
    await start({ pngOf: drawPng })
    const root = await loopback.teams.sender.post({ place, card: DRAWN_CARD, part: 0, mark: 'm-0' })
    loopback.connector.misbehave({ kind: 'status', status: 400 }, /activities/)
    const posting = { place, card: DRAWN_CARD, part: 1, mark: 'm-1', root: root.outcome === 'sent' ? root.message : '' }
    expect(await loopback.teams.sender.post(posting)).toMatchObject({ outcome: 'sent' })
    expect(loopback.connector.standing).toHaveLength(2)
    expect(loopback.connector.standing[1]?.pictures).toEqual([])
  })
})

describe('a note in the thread on Teams', () => {
  const noteIn = (root: string, mentions: readonly string[]): Posting => ({
    place,
    card: NOTE_CARD,
    part: 0,
    root,
    mark: 'n',
    note: { mentions },
  })

  it('stands in the thread of the card and mentions whom it is for', async () => {
    const names: Record<string, string> = { [`teams:${TENANT}:aad-1`]: 'Odile Finch' }
    const sender = await start({ nameOf: async (id) => names[id] })
    const [root = ''] = await postWhole(A_CARD)
    const mentions = [`teams:${TENANT}:aad-1`, `teams:${TENANT}:aad-2`, 'Retina team', 'slack:T1:U1', 'teams:other:aad-1']
    expect(await sender.post(noteIn(root, mentions))).toMatchObject({ outcome: 'sent' })
    const note = loopback.connector.standing.at(-1)
    expect(note).toMatchObject({ conversation: `${CHANNEL};messageid=${root}`, summary: NOTE_CARD.summary })
    expect(note?.card).toMatchObject({
      body: [{ text: '<at>Odile Finch</at> Retina team' }, { text: NOTE_CARD.title }, {}],
      msteams: {
        entities: [{ type: 'mention', text: '<at>Odile Finch</at>', mentioned: { id: 'aad-1', name: 'Odile Finch' } }],
      },
    })
  })

  it('mentions nobody where nobody is named', async () => {
    const sender = await start()
    const [root = ''] = await postWhole(A_CARD)
    await sender.post(noteIn(root, []))
    expect(loopback.connector.standing.at(-1)?.card).not.toHaveProperty('msteams')
  })

  it('whose fate is not known is reported so, and never sent again by itself', async () => {
    const sender = await start()
    const [root = ''] = await postWhole(A_CARD)
    const before = loopback.connector.standing.length
    loopback.connector.misbehave({ kind: 'lost-answer' }, /activities/)
    expect((await sender.post(noteIn(root, []))).outcome).toBe('unknown')
    expect(loopback.connector.standing).toHaveLength(before + 1)
  })
})
