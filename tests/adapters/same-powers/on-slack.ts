import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { ChoiceAction } from '../../../src/cards/card.js'
import { BOT, startSlackApi } from '../../fakes/slack-api.js'
import { buttonPress, deliver, messageEvent, slashCommand } from '../../fakes/slack-requests.js'
import { until } from '../../tools/until.js'
import { GRANTED } from '../slack/loopback.js'
import { startWhole } from '../slack/whole.js'
import { type Chat, NAMES, opens, settled, type Who } from './chat.js'

const USERS: Readonly<Record<Who, string>> = { asker: 'U0001', colleague: 'U0002' }

interface Element {
  readonly type?: string
  readonly action_id?: string
  readonly value?: string
  readonly options?: readonly { readonly value: string; readonly text: { readonly text: string } }[]
  readonly [initial: string]: unknown
}
interface Block {
  readonly type: string
  readonly block_id?: string
  readonly elements?: readonly Element[]
  readonly element?: Element
}

export async function onSlack(): Promise<Chat> {
  const folder = mkdtempSync(join(tmpdir(), 'soundings-powers-'))
  const api = await startSlackApi({
    scopes: GRANTED,
    channels: ['C0001', 'D0001', 'D0002'],
    names: { [USERS.asker]: NAMES.asker, [USERS.colleague]: NAMES.colleague },
  })
  const whole = await startWhole(api, join(folder, 'trail.db'))
  let count = 0
  const fresh = () => {
    count += 1
    return count
  }

  const send = async (payload: object) => {
    const response = await deliver(whole.url, payload)
    if (response.status !== 200) throw new Error(`Slack was answered ${response.status}`)
    const body = await response.text()
    if (body !== '') throw new Error(`a form came back: ${body}`)
    await settled(whole.store)
  }
  const roots = () => api.posted.filter(({ thread_ts }) => thread_ts === undefined)
  const shown = (on: 'preview' | 'consult'): readonly (readonly unknown[])[] =>
    on === 'consult' ? roots().map(({ blocks }) => blocks) : api.ephemeral.toReversed().map(({ blocks }) => blocks)

  async function pressed(who: Who, on: 'preview' | 'consult', wanted: (does: ChoiceAction) => boolean): Promise<object> {
    const button = await until(
      () => {
        const buttons = shown(on).flatMap((blocks) => (blocks as readonly Block[]).flatMap(({ elements }) => elements ?? []))
        return buttons.find(
          ({ type, value }) => type === 'button' && value !== undefined && wanted(JSON.parse(value) as ChoiceAction),
        )
      },
      () => `a button on the ${on}`,
    )
    const user = USERS[who]
    const ts = on === 'consult' ? (roots()[0]?.ts ?? '') : '1790000160.000100'
    const body = buttonPress(button.value, {
      user: { id: user, name: user.toLowerCase(), team_id: BOT.team },
      response_url: api.responseUrl(),
      trigger_id: `trigger.${fresh()}`,
      message: { ts, thread_ts: ts },
      container: { type: 'message', message_ts: ts, channel_id: 'C0001' },
    })
    const at = `1790001${String(fresh()).padStart(3, '0')}.000100`
    return { ...body, actions: body.actions.map((action) => ({ ...action, action_id: button.action_id, action_ts: at })) }
  }

  /** What the field holds when it is sent: what stood in it, or what is filled in. */
  function answerTo({ type, options = [], ...initial }: Element, filled: string | undefined): object {
    const option = (said: string) => options.find(({ value, text }) => value === said || text.text === said)
    switch (type) {
      case 'plain_text_input':
        return { value: filled ?? initial['initial_value'] ?? null }
      case 'radio_buttons':
      case 'static_select':
        return { selected_option: (filled === undefined ? initial['initial_option'] : option(filled)) ?? null }
      case 'checkboxes':
      case 'multi_static_select':
        return { selected_options: (filled === undefined ? initial['initial_options'] : [option(filled)]) ?? [] }
      case 'datepicker':
        return { selected_date: filled ?? initial['initial_date'] ?? null }
      case 'multi_users_select': {
        const named = Object.entries(NAMES).find(([, name]) => name === filled)?.[0] as Who | undefined
        return { selected_users: named === undefined ? (initial['initial_users'] ?? []) : [USERS[named]] }
      }
      default:
        return { selected_conversation: initial['initial_conversation'] ?? null }
    }
  }

  return {
    store: whole.store,
    say: (who, text) =>
      send(
        slashCommand(text, {
          user_id: USERS[who],
          user_name: USERS[who].toLowerCase(),
          response_url: api.responseUrl(),
          trigger_id: `trigger.${fresh()}`,
        }),
      ),
    write: (who, text) => {
      const more = { thread_ts: roots()[0]?.ts, parent_user_id: BOT.userId }
      const ts = `1790002${String(fresh()).padStart(3, '0')}.000100`
      return send(messageEvent({ text, user: USERS[who], ts, more, eventId: `Ev${ts}` }))
    },
    press: async (who, on, does) => send(await pressed(who, on, does)),
    async fill(who, on, form, answers) {
      const before = api.surfaces.views.length
      await send(await pressed(who, on, opens(form)))
      const { id, hash, view } = await until(
        () => api.surfaces.views[before],
        () => `the form ${form}`,
      )
      const blocks = (view as { blocks: readonly Block[] }).blocks.filter(({ type }) => type === 'input')
      const values = blocks.map(({ block_id = '', element = {} }) => {
        const filled = answers[block_id.slice(2)]
        return [block_id, { answer: { type: element.type, ...answerTo(element, filled) } }]
      })
      await send({
        type: 'view_submission',
        team: { id: BOT.team },
        user: { id: USERS[who], name: USERS[who].toLowerCase(), team_id: BOT.team },
        view: { ...view, id, hash, state: { values: Object.fromEntries(values) } },
      })
    },
    async stop() {
      await whole.stop()
      await api.stop()
      rmSync(folder, { recursive: true })
    },
  }
}
