import { afterEach, describe, expect, it } from 'vitest'
import type { TeamsDeps } from '../../../adapters/teams/start.js'
import { receive } from '../../../src/desk/receive.js'
import { buttonPress, CHANNEL, ODILE, PERSONAL, ROWAN } from '../../fakes/teams-activities.js'
import { TENANT } from '../../fakes/teams-tokens.js'
import { until as lookUntil } from '../../tools/until.js'
import { FORMS } from '../../views/a-form.js'
import { type Loopback, startLoopback } from './loopback.js'

let loopback: Loopback
afterEach(() => loopback.stop())

const decide = FORMS.find(({ id }) => id === 'decide') ?? expect.unreachable()
const OPEN = { soundings: { action: 'open-form', form: 'decide', ref: 'MARSH-7', revision: 1 } }
const ROOT = '1790000050000'

const start = async (deps: Partial<TeamsDeps> = { formFor: async () => decide }) => {
  loopback = await startLoopback(deps)
}
const press = async (more: object = {}) => {
  const { status } = await loopback.deliver(buttonPress(OPEN, { from: ROWAN, card: ROOT, ...more }))
  expect(status).toBe(200)
}

const until = <T>(look: () => T | undefined | false): Promise<T> => lookUntil(look, () => loopback.logged)

const shown = () => until(() => loopback.connector.standing[0])
const submitOf = (card: unknown): object => (card as { actions: { data: object }[] }).actions[0]?.data ?? {}
const ANSWERS = { 'f:planA': 'Chop', 'f:operates': 'Consultant', 'f:lens': '+9.0', 'f:planB': '' }

describe('a button that opens a form on Teams', () => {
  it('shows it as a card in the person’s own chat, filled in, and records nothing', async () => {
    const asked: unknown[] = []
    await start({
      formFor: async (does, reader) => {
        asked.push(does, reader)
        return decide
      },
    })
    await press()
    const { conversation, card, summary } = await shown()
    expect(conversation).toBe(PERSONAL)
    expect(summary).toContain(decide.title)
    expect(JSON.stringify(card)).toContain('"f:lens"')
    expect(asked).toMatchObject([OPEN.soundings, { by: { name: 'Rowan Vale' }, place: { channel: CHANNEL, workspace: TENANT } }])
    expect(loopback.inbox.kept).toEqual([])
  })

  it('gives its answers the place that it was opened in', async () => {
    await start()
    await press()
    const { card, id } = await shown()
    const value = { ...submitOf(card), ...ANSWERS }
    await loopback.deliver(buttonPress(value, { personal: true, from: ROWAN, card: id, id: 'f:1' }))
    expect(loopback.inbox.kept).toMatchObject([
      {
        inbound: {
          kind: 'form',
          form: 'decide',
          about: { ref: 'MARSH-7', revision: 1 },
          values: { planA: 'Chop', operates: 'Consultant', lens: '+9.0' },
          place: { platform: 'teams', workspace: TENANT, channel: CHANNEL },
          reply: { conversation: PERSONAL, kind: 'personal' },
        },
      },
    ])
  })

  it('takes the same answers once, and other answers of the same card as a correction', async () => {
    await start()
    await press()
    const { card, id } = await shown()
    const send = (answers: object, press: string, from: object = ROWAN) =>
      loopback.deliver(buttonPress({ ...submitOf(card), ...answers }, { personal: true, from, card: id, id: press }))
    await send(ANSWERS, 'f:1')
    await send(ANSWERS, 'f:2')
    expect(loopback.inbox.kept).toHaveLength(1)
    await send({ ...ANSWERS, 'f:lens': '+8.5' }, 'f:3')
    await send(ANSWERS, 'f:4', ODILE)
    expect(loopback.inbox.kept).toHaveLength(3)
  })

  it('whose answers cannot be kept is not said to have arrived', async () => {
    await start()
    loopback.inbox.before = () => {
      throw new Error('disk full')
    }
    const value = { soundingsForm: { form: 'decide', about: {} }, ...ANSWERS }
    expect((await loopback.deliver(buttonPress(value, { personal: true }))).status).toBe(500)
  })

  it('keeps nothing of answers that may identify a patient', async () => {
    await start({ receive: (inbound, key) => receive(inbound, key, '2026-11-24') })
    const value = { soundingsForm: { form: 'decide', about: { ref: 'MARSH-7' } }, ...ANSWERS, 'f:planB': 'DOB 03.02.1950' }
    await loopback.deliver(buttonPress(value, { personal: true }))
    expect(loopback.inbox.kept[0]?.inbound).toMatchObject({ kind: 'refused-identifiers', addressed: true })
    expect(JSON.stringify(loopback.inbox.kept)).not.toContain('1950')
  })

  it.each([
    ['there is none for this person', async () => undefined],
    [
      'it cannot be read',
      async () => {
        throw new Error('busy')
      },
    ],
  ])('goes to the desk when %s, so that the person is told how to type it', async (_, formFor) => {
    await start({ formFor })
    await press()
    const { inbound } = await until(() => loopback.inbox.kept[0])
    expect(inbound).toMatchObject({ kind: 'choice', does: OPEN.soundings })
  })

  it('is sent once: where it is not known whether it arrived, the desk answers', async () => {
    await start()
    loopback.connector.misbehave({ kind: 'lost-answer' }, /activities/)
    await press()
    await until(() => loopback.inbox.kept[0])
    expect(loopback.connector.standing).toHaveLength(1)
  })

  it('tells a person whose own chat is closed how to open it, without anything of the form', async () => {
    await start()
    loopback.connector.chats.clear()
    await press()
    const { conversation, card } = await shown()
    expect(conversation).toBe(`${CHANNEL};messageid=${ROOT}`)
    expect(JSON.stringify(card)).not.toContain('f:lens')
    expect(loopback.inbox.kept).toEqual([])
  })
})
