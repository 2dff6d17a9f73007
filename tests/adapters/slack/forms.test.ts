import { afterEach, describe, expect, it } from 'vitest'
import type { SlackDeps } from '../../../adapters/slack/start.js'
import type { Card, ChoiceAction } from '../../../src/cards/card.js'
import { slackModal } from '../../../src/views/slack-modal.js'
import { BOT } from '../../fakes/slack-api.js'
import { buttonPress, deliver } from '../../fakes/slack-requests.js'
import { until as lookUntil } from '../../tools/until.js'
import { FORMS } from '../../views/a-form.js'
import { type Loopback, startLoopback } from './loopback.js'

let loopback: Loopback
afterEach(() => loopback.stop())

const OPEN: ChoiceAction = { action: 'open-form', form: 'decide', ref: 'MARSH-7', revision: 1 }
const decide = FORMS.find(({ id }) => id === 'decide') ?? expect.unreachable()

const start = async (deps: Partial<SlackDeps>) => {
  loopback = await startLoopback(deps)
}
const press = () => deliver(loopback.url, buttonPress(JSON.stringify(OPEN)))

const until = <T>(look: () => T | undefined | false): Promise<T> => lookUntil(look, () => loopback.logged)

/** A modal that was filled in and sent, as Slack delivers it. */
function submission(answers: Readonly<Record<string, object>>, more: { readonly hash?: string; readonly id?: string } = {}) {
  const { private_metadata } = slackModal(decide, { channel: 'C0001', thread: '1790000160.000100' })
  return {
    type: 'view_submission',
    team: { id: BOT.team, domain: 'lantern-quay' },
    user: { id: 'U0001', username: 'r.vale', name: 'r.vale', team_id: BOT.team },
    api_app_id: 'A0001',
    token: 'verification-token',
    trigger_id: '1111.5555.dddd',
    view: {
      id: more.id ?? 'V1',
      hash: more.hash ?? '1.a',
      type: 'modal',
      callback_id: 'soundings_form',
      private_metadata,
      blocks: [],
      state: { values: Object.fromEntries(Object.entries(answers).map(([field, answer]) => [`f:${field}`, { answer }])) },
    },
    response_urls: [],
    is_enterprise_install: false,
  }
}
const typed = (value: string) => ({ type: 'plain_text_input', value })
const GOOD = { planA: typed('Chop'), operates: typed('Consultant'), lens: typed('+9.0') }

describe('a button that opens a form on Slack', () => {
  it('opens it with what is known, and records nothing', async () => {
    const asked: unknown[] = []
    await start({
      formFor: async (does, reader) => {
        asked.push(does, reader)
        return decide
      },
    })
    expect((await press()).status).toBe(200)
    const { view } = await until(() => loopback.api.surfaces.views[0])
    expect(view['title']).toMatchObject({ text: decide.title })
    expect(JSON.stringify(view)).toContain('f:lens')
    expect(asked).toMatchObject([OPEN, { by: { id: 'slack:T0001:U0002' }, place: { channel: 'C0001', workspace: 'T0001' } }])
    expect(loopback.inbox.kept).toEqual([])
  })

  it('that takes long to fill in is opened at once and filled in afterwards', async () => {
    let ready = (_: typeof decide) => {}
    await start({
      formFor: () =>
        new Promise((resolve) => {
          ready = resolve
        }),
    })
    await press()
    const opened = await until(() => loopback.api.surfaces.views[0])
    expect(opened.view).not.toHaveProperty('submit')
    ready(decide)
    await until(() => JSON.stringify(opened.view).includes('f:lens'))
    expect(loopback.api.calls.filter(({ method }) => method === 'views.open')).toHaveLength(1)
    expect(loopback.inbox.kept).toEqual([])
  })

  it.each([
    ['there is none for this person', undefined],
    ['it cannot be read', new Error('the trail is busy')],
  ])('goes to the desk when %s, so that the person is told how to type it', async (_, outcome) => {
    await start({
      formFor: async () => {
        if (outcome !== undefined) throw outcome
        return undefined
      },
    })
    await press()
    const { inbound } = await until(() => loopback.inbox.kept[0])
    expect(inbound).toMatchObject({ kind: 'choice', does: OPEN })
    expect(loopback.api.surfaces.views).toEqual([])
  })

  it('goes to the desk when its trigger has run out, and is not tried a second time', async () => {
    await start({ formFor: async () => decide })
    loopback.api.misbehave('views.open', { kind: 'error', error: 'expired_trigger_id' })
    await press()
    await until(() => loopback.inbox.kept[0])
    expect(loopback.api.surfaces.views).toEqual([])
  })

  it('opened in the meantime, does not promise for ever what cannot be read', async () => {
    let fail = () => {}
    await start({
      formFor: () =>
        new Promise((_resolve, reject) => {
          fail = () => reject(new Error('gone'))
        }),
    })
    await press()
    const opened = await until(() => loopback.api.surfaces.views[0])
    fail()
    await until(() => loopback.inbox.kept[0])
    expect(JSON.stringify(opened.view)).toContain('could not be opened')
  })
})

describe('the answers of a form on Slack', () => {
  it('are kept before Slack is answered, with the place that the form was opened in', async () => {
    await start({})
    const response = await deliver(loopback.url, submission(GOOD))
    expect(response.status).toBe(200)
    expect(await response.text()).toBe('')
    expect(loopback.inbox.kept).toMatchObject([
      {
        key: 'slack:view:T0001:V1:1.a',
        inbound: {
          kind: 'form',
          form: 'decide',
          about: { ref: 'MARSH-7', revision: 1 },
          values: { planA: 'Chop', operates: 'Consultant', lens: '+9.0' },
          by: { id: 'slack:T0001:U0001', name: 'Rowan Vale' },
          place: { platform: 'slack', workspace: 'T0001', channel: 'C0001', thread: '1790000160.000100' },
        },
      },
    ])
  })

  it('that cannot be kept leave the form open: Slack is not told that they arrived', async () => {
    await start({})
    loopback.inbox.before = () => {
      throw new Error('disk full')
    }
    expect((await deliver(loopback.url, submission(GOOD))).status).toBe(500)
  })

  it('sent twice are one delivery', async () => {
    await start({})
    await deliver(loopback.url, submission(GOOD))
    await deliver(loopback.url, submission(GOOD))
    expect(loopback.inbox.kept).toHaveLength(1)
  })

  it('come back with what is wrong beside the field, nothing kept, and are taken once it is mended', async () => {
    await start({})
    const response = await deliver(loopback.url, submission({ ...GOOD, lens: typed('9.0') }))
    expect(await response.json()).toEqual({
      response_action: 'errors',
      errors: { 'f:lens': expect.stringContaining('sign of the lens power is missing') },
    })
    expect(loopback.inbox.kept).toEqual([])
    await deliver(loopback.url, submission(GOOD))
    expect(loopback.inbox.kept).toHaveLength(1)
  })

  it('that may identify a patient come back with the kind beside the field, and nothing of them is kept', async () => {
    await start({})
    const response = await deliver(loopback.url, submission({ ...GOOD, planB: typed('DOB 03.02.1950'), trigger: typed('loss') }))
    const { errors } = (await response.json()) as { errors: Record<string, string> }
    expect(errors['f:planB']).toMatch(/date of birth/i)
    expect(JSON.stringify(errors)).not.toContain('1950')
    expect(loopback.inbox.kept).toEqual([])
  })

  it('name people who were picked as colleagues read them, by id where Slack gives no name', async () => {
    await start({})
    const picked = { type: 'multi_users_select', selected_users: ['U0002', 'U0009'] }
    await deliver(loopback.url, submission({ ...GOOD, asked: picked, 'asked~2': typed('Retina team') }))
    expect(loopback.inbox.kept[0]?.inbound).toMatchObject({
      values: { asked: 'Odile Finch, slack:T0001:U0009, Retina team' },
    })
  })

  it('of a modal that is not ours are left alone', async () => {
    await start({})
    const other = submission(GOOD)
    const response = await deliver(loopback.url, { ...other, view: { ...other.view, callback_id: 'another' } })
    expect(response.status).toBe(200)
    expect(loopback.inbox.kept).toEqual([])
  })
})

const HOME: Card = {
  title: 'Your consults',
  summary: 'Nothing waits for you.',
  first: [{ kind: 'list', items: Array.from({ length: 40 }, (_, index) => `MARSH-${index} · your opinion is wanted`) }],
  sections: [],
  choices: [{ label: 'Put a case', emphasis: 'primary', does: { action: 'open-form', form: 'ask' } }],
  typing: 'Write the reference to see a consult.',
  footer: '',
}

const looksAtHome = (tab: string) => ({
  token: 'verification-token',
  team_id: BOT.team,
  api_app_id: 'A0001',
  event: { type: 'app_home_opened', user: 'U0001', channel: 'D0001', tab, event_ts: '1790000100.000100' },
  type: 'event_callback',
  event_id: 'EvHome',
  event_time: 1_790_000_100,
})

describe('the Home tab on Slack', () => {
  it('is drawn for whoever looks at it, and its button opens a form whose answers go to their direct messages', async () => {
    const readers: unknown[] = []
    await start({
      homeFor: async (reader) => {
        readers.push(reader)
        return HOME
      },
      formFor: async () => FORMS[0],
    })
    await deliver(loopback.url, looksAtHome('home'))
    const home = await until(() => loopback.api.surfaces.homes.get('U0001'))
    expect(JSON.stringify(home)).toContain('MARSH-39')
    expect(readers).toMatchObject([{ by: { id: 'slack:T0001:U0001', name: 'Rowan Vale' }, place: { channel: 'D0001' } }])
    expect(loopback.inbox.kept).toEqual([])

    const pressed = {
      ...buttonPress(JSON.stringify(HOME.choices[0]?.does), { user: { id: 'U0001', team_id: BOT.team } }),
      channel: undefined,
      message: undefined,
      container: { type: 'view', view_id: 'VHOME' },
      view: { id: 'VHOME', type: 'home', private_metadata: home['private_metadata'] },
    }
    await deliver(loopback.url, pressed)
    const { view } = await until(() => loopback.api.surfaces.views[0])
    expect(JSON.parse(String(view['private_metadata']))).toMatchObject({ form: 'ask', channel: 'D0001' })
  })

  it('is not drawn while its other tab is looked at, and one that cannot be drawn harms nothing', async () => {
    let asked = 0
    await start({
      homeFor: async () => {
        asked += 1
        throw new Error('busy')
      },
    })
    await deliver(loopback.url, looksAtHome('messages'))
    expect(asked).toBe(0)
    expect((await deliver(loopback.url, looksAtHome('home'))).status).toBe(200)
    await until(() => loopback.logged.some((line) => line.includes('Home tab')))
  })
})
