import { afterEach, describe, expect, it } from 'vitest'
import { z } from 'zod'
import type { TeamsDeps } from '../../../adapters/teams/start.js'
import { receive } from '../../../src/desk/receive.js'
import { adaptiveMessages } from '../../../src/views/adaptive-card.js'
import { CHANNEL, channelMessage, invoked, ODILE, PERSONAL, ROWAN } from '../../fakes/teams-activities.js'
import { cardFaults } from '../../fakes/teams-cards.js'
import { FORMS } from '../../views/a-form.js'
import { type Loopback, startLoopback } from './loopback.js'

let loopback: Loopback
afterEach(() => loopback.stop())

const decide = FORMS.find(({ id }) => id === 'decide') ?? expect.unreachable()
const OPEN = { soundings: { action: 'open-form', form: 'decide', ref: 'MARSH-7', revision: 1 }, msteams: { type: 'task/fetch' } }
const ANSWERS = { 'f:planA': 'Chop', 'f:operates': 'Consultant', 'f:lens': '+9.0', 'f:planB': '' }

/** The documented answers to what is invoked: a card over the chat, or a sentence. Unknown keys are refused. */
const dialogSchema = z.strictObject({
  task: z.discriminatedUnion('type', [
    z.strictObject({ type: z.literal('message'), value: z.string().min(1) }),
    z.strictObject({
      type: z.literal('continue'),
      value: z.strictObject({
        title: z.string().min(1),
        height: z.enum(['small', 'medium', 'large']),
        width: z.enum(['small', 'medium', 'large']),
        card: z.strictObject({
          contentType: z.literal('application/vnd.microsoft.card.adaptive'),
          content: z.looseObject({}).superRefine((card, context) => {
            for (const fault of cardFaults(card)) context.addIssue(fault)
          }),
        }),
      }),
    }),
  ]),
})

const start = async (deps: Partial<TeamsDeps> = {}) => {
  loopback = await startLoopback({
    formFor: async () => decide,
    receive: (inbound, key) => receive(inbound, key, '2026-11-24'),
    ...deps,
  })
}
async function invoke(name: 'task/fetch' | 'task/submit', data: object, more: object = {}) {
  const response = await loopback.deliver(invoked(name, data, { from: ROWAN, ...more }))
  expect(response.status).toBe(200)
  return dialogSchema.parse(await response.json()).task
}
async function opened(data: object = OPEN, more: object = {}) {
  const task = await invoke('task/fetch', data, more)
  if (task.type !== 'continue') throw new Error(task.value)
  const { card } = task.value
  return { ...task.value, data: (card.content['actions'] as { data: object }[])[0]?.data ?? {} }
}
const told = async (name: 'task/fetch' | 'task/submit', data: object, more: object = {}) => {
  const task = await invoke(name, data, more)
  return task.type === 'message' ? task.value : expect.unreachable()
}

describe('a button that opens a form', () => {
  it('asks for a dialog, and says what it is for by itself where a client knows no dialogs', async () => {
    await start()
    const card = {
      title: 'T',
      summary: 'S.',
      first: [],
      sections: [],
      choices: [
        { label: 'Decide', emphasis: 'normal', does: { action: 'open-form', form: 'decide', ref: 'MARSH-7', revision: 1 } },
        { label: 'Show', emphasis: 'normal', does: { action: 'reveal', ref: 'MARSH-7' } },
      ],
      typing: '',
      footer: '',
    } as const
    const [form, other] = adaptiveMessages(card)[0]?.card.actions ?? []
    expect(form?.data).toEqual(OPEN)
    expect(other?.data).not.toHaveProperty('msteams')
  })
})

describe('a dialog on Teams', () => {
  it('shows the form over the chat, filled in, records nothing and says nothing in the chat', async () => {
    await start()
    const { title, card } = await opened()
    expect(title).toBe(decide.title)
    expect(JSON.stringify(card)).toContain('"f:lens"')
    expect([loopback.inbox.kept, loopback.connector.standing]).toEqual([[], []])
  })

  it('keeps its answers before it says that they have arrived, and closes with a sentence', async () => {
    await start()
    const { data } = await opened()
    expect(await told('task/submit', { ...data, ...ANSWERS }, { id: 'f:2' })).toContain('The answer comes in your own chat')
    expect(loopback.inbox.kept).toMatchObject([
      {
        inbound: {
          kind: 'form',
          form: 'decide',
          about: { ref: 'MARSH-7', revision: 1 },
          values: { planA: 'Chop', operates: 'Consultant', lens: '+9.0' },
          place: { channel: CHANNEL },
          by: { name: 'Rowan Vale' },
        },
      },
    ])
  })

  it('takes the same answers once, and others as a correction; those of another press are another form', async () => {
    await start()
    const { data } = await opened()
    for (const id of ['f:2', 'f:3']) await told('task/submit', { ...data, ...ANSWERS }, { id })
    expect(loopback.inbox.kept).toHaveLength(1)
    await told('task/submit', { ...data, ...ANSWERS, 'f:lens': '+8.5' }, { id: 'f:4' })
    const again = await opened(OPEN, { id: 'f:5' })
    await told('task/submit', { ...again.data, ...ANSWERS }, { id: 'f:6' })
    expect(loopback.inbox.kept).toHaveLength(3)
  })

  it('opened in the personal chat belongs to where it was asked for', async () => {
    await start()
    await loopback.deliver(channelMessage('help'))
    loopback.inbox.kept.length = 0
    const { data } = await opened({ ...OPEN, askedIn: { channel: CHANNEL, thread: '17' } }, { personal: true })
    await told('task/submit', { ...data, ...ANSWERS }, { personal: true, id: 'f:2' })
    expect(loopback.inbox.kept[0]?.inbound).toMatchObject({
      place: { channel: CHANNEL, thread: '17' },
      reply: { conversation: PERSONAL },
    })
  })

  it('with something wrong in it stays open with what was written and what is wrong, and nothing is kept', async () => {
    await start()
    const { data } = await opened()
    const task = await invoke('task/submit', { ...data, ...ANSWERS, 'f:planB': 'Manual', 'f:lens': '9.0' }, { id: 'f:2' })
    const said = JSON.stringify(task)
    expect(task.type).toBe('continue')
    expect(said).toContain('A plan B needs what makes you change to it')
    expect(said).toContain('"value":"Chop"')
    expect(said).toContain('Nothing was recorded yet')
    expect(loopback.inbox.kept).toEqual([])
  })

  it('gives nothing back that may identify a patient, and keeps nothing of it', async () => {
    await start()
    const { data } = await opened()
    const task = await invoke('task/submit', { ...data, ...ANSWERS, 'f:planA': 'Chop, DOB 03.02.1950' }, { id: 'f:2' })
    expect(task.type).toBe('continue')
    expect(JSON.stringify([task, loopback.inbox.kept, loopback.logged])).not.toContain('1950')
    expect(loopback.inbox.kept).toEqual([])
  })

  it('whose answers cannot be kept is not said to have arrived', async () => {
    await start()
    const { data } = await opened()
    loopback.inbox.before = () => {
      throw new Error('disk full')
    }
    const response = await loopback.deliver(invoked('task/submit', { ...data, ...ANSWERS }, { id: 'f:2' }))
    expect(response.status).toBe(500)
  })

  it('whose form is late follows as a card in the person’s own chat', async () => {
    let give = () => {}
    const form = new Promise<typeof decide>((resolve) => {
      give = () => resolve(decide)
    })
    await start({ formFor: () => form, dialogPatienceMs: 5 })
    expect(await told('task/fetch', OPEN)).toContain('follows in your own chat')
    give()
    for (let tries = 0; tries < 300 && loopback.connector.standing.length === 0; tries += 1)
      await new Promise((resolve) => setTimeout(resolve, 5))
    expect(loopback.connector.standing).toMatchObject([{ conversation: PERSONAL }])
    expect(JSON.stringify(loopback.connector.standing[0]?.card)).toContain('"f:lens"')
  })

  it('for which there is no form goes to the desk, which says how to type it', async () => {
    await start({ formFor: async () => undefined })
    expect(await told('task/fetch', OPEN)).toContain('how to type it instead')
    expect(loopback.inbox.kept).toMatchObject([{ inbound: { kind: 'choice', does: OPEN.soundings } }])
  })

  it('is opened by nobody from a channel that they are not in', async () => {
    await start()
    await opened()
    loopback.connector.rosters.set(CHANNEL, [ODILE.aadObjectId])
    expect(await told('task/fetch', { ...OPEN, askedIn: { channel: CHANNEL } }, { personal: true })).toContain('no longer works')
    expect(loopback.inbox.kept).toEqual([])
  })

  it('is opened by nobody whose membership Teams does not tell', async () => {
    await start()
    await opened()
    loopback.connector.misbehave({ kind: 'cut' }, /members/)
    expect(await told('task/fetch', { ...OPEN, askedIn: { channel: CHANNEL } }, { personal: true })).toContain('in a minute')
    expect(loopback.inbox.kept).toEqual([])
  })

  it('of a button that is not understood says so', async () => {
    await start()
    expect(await told('task/fetch', { soundings: { action: 'unheard-of' } })).toContain('no longer works')
  })

  it('that is none of ours is answered by nothing', async () => {
    await start()
    const response = await loopback.deliver({ ...invoked('task/fetch', OPEN), name: 'composeExtension/query' })
    expect(response.status).toBe(501)
  })
})
