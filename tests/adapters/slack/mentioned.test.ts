import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { marksIn } from '../../../adapters/slack/plain-text.js'
import { slackModal } from '../../../src/views/slack-modal.js'
import { BOT } from '../../fakes/slack-api.js'
import { deliver, messageEvent, slashCommand } from '../../fakes/slack-requests.js'
import { type Loopback, startLoopback } from './loopback.js'

let loopback: Loopback
beforeEach(async () => {
  loopback = await startLoopback()
})
afterEach(() => loopback.stop())

const kept = async (payload: object) => {
  expect((await deliver(loopback.url, payload)).status).toBe(200)
  const { inbound } = loopback.inbox.kept.at(-1) ?? {}
  if (inbound?.kind !== 'text') throw new Error(`a text was expected, not ${JSON.stringify(inbound)}`)
  return inbound
}

describe('whom a message marks on Slack', () => {
  it('is found by id, the bot left out', () =>
    expect(marksIn('<@UBOT0001> post: ask <@U0002|odile>, <!subteam^S0001>; in <#C0002|theatre>; K1 <21', 'UBOT0001')).toEqual([
      { kind: 'person', id: 'U0002', said: 'odile' },
      { kind: 'group', id: 'S0001', said: 'S0001' },
      { kind: 'channel', id: 'C0002', said: 'theatre' },
    ]))

  it('stands in the text by the name that colleagues read, and passes the guard as a colleague', async () => {
    const inbound = await kept(slashCommand('post: ask <@U0002|odile> and <!subteam^S0001>; in <#C0002|theatre>'))
    expect(inbound.text).toBe('post: ask @Odile Finch and @Retina team; in #theatre')
    expect(inbound.mentioned).toEqual([
      { kind: 'person', said: 'Odile Finch', id: 'slack:T0001:U0002' },
      {
        kind: 'group',
        said: 'Retina team',
        id: 'slack:T0001:S0001',
        members: [
          { id: 'slack:T0001:U0001', name: 'Rowan Vale' },
          { id: 'slack:T0001:U0002', name: 'Odile Finch' },
        ],
      },
      { kind: 'channel', said: 'theatre', id: 'C0002' },
    ])
    const talk = await kept(messageEvent({ text: '<@UBOT0001> what do you think, <@U0002>?', more: { type: 'app_mention' } }))
    expect(talk.text).toBe('what do you think, @Odile Finch?')
  })

  it('is kept by its id where Slack gives no name, and a group as a whole where it gives no people', async () => {
    loopback.api.misbehave('usergroups.list', { kind: 'error', error: 'missing_scope' })
    const inbound = await kept(slashCommand('post: ask <@U0404>, <!subteam^S0001|@retina>'))
    expect(inbound.text).toBe('post: ask @U0404, @retina')
    expect(inbound.mentioned).toEqual([
      { kind: 'person', said: 'U0404', id: 'slack:T0001:U0404' },
      { kind: 'group', said: 'retina', id: 'slack:T0001:S0001' },
    ])
  })

  it('costs a message that marks nobody no call', async () => {
    await kept(slashCommand('LE 58M, AL 29.60'))
    expect(loopback.api.calls.map(({ method }) => method)).not.toContain('usergroups.list')
  })

  it('is picked in a form with its id as well', async () => {
    const form = { id: 'task', title: 'Give a task', about: { ref: 'MARSH-7' }, fields: [], submit: 'Give' } as const
    const view = { ...slackModal(form, { channel: 'C0001' }), id: 'V1', hash: 'h1' }
    const values = {
      'f:owner': { answer: { type: 'multi_users_select', selected_users: ['U0002'] } },
      'f:what': { answer: { value: 'B-scan' } },
    }
    const user = { id: 'U0001', name: 'rowan', team_id: BOT.team }
    const sent = { type: 'view_submission', team: { id: BOT.team }, user, view: { ...view, state: { values } } }
    expect((await deliver(loopback.url, sent)).status).toBe(200)
    expect(loopback.inbox.kept.at(-1)?.inbound).toMatchObject({
      kind: 'form',
      values: { owner: 'Odile Finch', what: 'B-scan' },
      mentioned: [{ kind: 'person', said: 'Odile Finch', id: 'slack:T0001:U0002' }],
    })
  })
})
