import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { keepConnecting } from '../../../adapters/slack/socket-mode.js'
import { type RunningSlack, startSlack } from '../../../adapters/slack/start.js'
import type { Delivery } from '../../../src/desk/ports.js'
import { receive } from '../../../src/desk/receive.js'
import { slackModal } from '../../../src/views/slack-modal.js'
import { BOT, type SlackApi, startSlackApi } from '../../fakes/slack-api.js'
import { buttonPress, messageEvent, slashCommand } from '../../fakes/slack-requests.js'
import { type SlackSocket, startSlackSocket } from '../../fakes/slack-socket.js'
import { FORMS } from '../../views/a-form.js'
import { GRANTED } from './loopback.js'

let api: SlackApi
let socket: SlackSocket
let slack: RunningSlack | undefined
let order: string[]
let accept: (delivery: Delivery) => Promise<void>

beforeEach(async () => {
  order = []
  accept = async (delivery) => void order.push(`kept ${delivery.key}`)
  api = await startSlackApi({ scopes: GRANTED, channels: ['C0001'], names: { U0001: 'Rowan Vale' } })
  socket = await startSlackSocket((id) => order.push(`acknowledged ${id}`))
  api.socketUrl = socket.url
})
afterEach(async () => {
  await slack?.stop()
  slack = undefined
  await socket.stop()
  await api.stop()
})

const start = async (appToken: string = BOT.appToken) => {
  slack = await startSlack(
    { botToken: BOT.token, appToken, apiUrl: api.url, mode: 'socket' },
    {
      accept: (delivery) => accept(delivery),
      receive: (inbound, key) => receive(inbound, key, '2026-11-24'),
      logger: { info: () => {}, warn: () => {}, error: () => {} },
      clock: { now: () => new Date().toISOString() },
    },
  )
  return slack
}

const until = async (holds: () => boolean) => {
  for (let tries = 0; !holds() && tries < 400; tries++) await new Promise((resolve) => setTimeout(resolve, 5))
  expect(holds()).toBe(true)
}

describe('over Socket Mode', () => {
  it('needs no address of ours', async () => {
    expect((await start()).requestListener).toBeUndefined()
  })

  it.each([
    ['events_api', messageEvent({ text: '<@UBOT0001> LE 58M' }), 'slack:msg:T0001:C0001:1790000100.000100'],
    ['slash_commands', slashCommand('LE 58M'), 'slack:command:T0001:1111.2222.aaaa'],
    [
      'interactive',
      buttonPress('{"action":"post-draft","draftId":"d1"}'),
      'slack:action:T0001:C0001:1790000160.000100:U0002:choice-0:1790000170.654321',
    ],
  ] as const)('a delivery by %s is kept, then acknowledged', async (type, payload, key) => {
    await start()
    accept = async (delivery) => {
      await new Promise((resolve) => setTimeout(resolve, 30))
      order.push(`kept ${delivery.key}`)
    }
    socket.deliver('e1', type, payload)
    await until(() => order.length === 2)
    expect(order).toEqual([`kept ${key}`, 'acknowledged e1'])
  })

  const submission = (sentence: string) => {
    const opinion = FORMS.find(({ id }) => id === 'opinion') ?? expect.unreachable()
    const view = slackModal(opinion, { channel: 'C0001' })
    const field = (id: string, type: string, answer: object) => [`f:${id}`, { answer: { type, ...answer } }] as const
    const values = Object.fromEntries([
      field('opinion', 'static_select', { selected_option: { value: 'agree-with-changes' } }),
      field('sentence', 'plain_text_input', { value: sentence }),
    ])
    return {
      type: 'view_submission',
      team: { id: BOT.team },
      user: { id: 'U0001', name: 'rowan', team_id: BOT.team },
      view: { ...view, id: 'V1', hash: '1.a', state: { values } },
    }
  }

  it('the answers of a form are kept, then acknowledged, which closes it', async () => {
    await start()
    const kept: Delivery[] = []
    accept = async (delivery) => {
      kept.push(delivery)
      order.push('kept')
    }
    socket.deliver('e1', 'interactive', submission('larger rhexis'))
    await until(() => order.length === 2)
    expect(order).toEqual(['kept', 'acknowledged e1'])
    expect(kept).toMatchObject([
      { inbound: { kind: 'form', form: 'opinion', values: { opinion: 'agree-with-changes', sentence: 'larger rhexis' } } },
    ])
    // an acknowledgement that says nothing closes a form
    expect(socket.answers.get('e1')).toEqual({})
  })

  it('a form with something wrong in it stays open: the acknowledgement says what, and nothing is kept', async () => {
    await start()
    socket.deliver('e1', 'interactive', submission('larger rhexis, DOB 03.02.1950'))
    await until(() => order.length === 1)
    expect(order).toEqual(['acknowledged e1'])
    expect(socket.answers.get('e1')).toMatchObject({
      response_action: 'errors',
      errors: { 'f:sentence': expect.stringContaining('date') },
    })
    expect(JSON.stringify(socket.answers.get('e1'))).not.toContain('1950')
  })

  it('a delivery that cannot be kept is not acknowledged; repeated, it is kept', async () => {
    await start()
    const keep = accept
    let failures = 0
    accept = async () => {
      failures += 1
      throw new Error('disk full')
    }
    socket.deliver('e1', 'events_api', messageEvent({ text: '<@UBOT0001> LE 58M' }))
    await until(() => failures === 1)
    await new Promise((resolve) => setTimeout(resolve, 50))
    expect(order).toEqual([])
    accept = keep
    socket.deliver('e1', 'events_api', messageEvent({ text: '<@UBOT0001> LE 58M' }), 1)
    await until(() => order.length === 2)
    expect(order).toEqual(['kept slack:msg:T0001:C0001:1790000100.000100', 'acknowledged e1'])
  })

  it('the end waits for what is under way, and keeps and acknowledges it', async () => {
    const running = await start()
    let reached = false
    accept = async (delivery) => {
      reached = true
      await new Promise((resolve) => setTimeout(resolve, 80))
      order.push(`kept ${delivery.key}`)
    }
    socket.deliver('e1', 'slash_commands', slashCommand('help'))
    await until(() => reached)
    await running.stop()
    slack = undefined
    expect(order).toEqual(['kept slack:command:T0001:1111.2222.aaaa', 'acknowledged e1'])
    await until(() => socket.connections() === 0)
  })

  it('with a wrong app token says which setting is wrong', async () => {
    await expect(start('xapp-wrong')).rejects.toThrow(/SLACK_APP_TOKEN \(invalid_auth\)/)
  })
})

describe('a connection that is lost and cannot be had again', () => {
  const failingTwice = () => {
    let tries = 0
    return {
      start: async () => {
        tries += 1
        if (tries <= 2) throw new Error('token revoked')
        return { ok: true }
      },
    }
  }

  it('is logged and tried again instead of ending the process', async () => {
    const logged: unknown[] = []
    const listeners: (() => void)[] = []
    const link = { ...failingTwice(), once: (_: unknown, listener: () => void) => void listeners.push(listener) }
    keepConnecting(link as never, { error: (...line: unknown[]) => void logged.push(line) }, async () => {})
    expect(await link.start()).toEqual({ ok: true })
    expect(logged).toHaveLength(2)
  })

  it('is let go once we stop', async () => {
    const listeners: (() => void)[] = []
    const link = { ...failingTwice(), once: (_: unknown, listener: () => void) => void listeners.push(listener) }
    keepConnecting(link as never, { error: () => {} }, async () => {})
    for (const listener of listeners) listener()
    expect(await link.start()).toEqual({ ok: false })
  })
})
