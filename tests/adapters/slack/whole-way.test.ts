import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { BOT, type SlackApi, startSlackApi } from '../../fakes/slack-api.js'
import { buttonPress, deliver, messageEvent, slashCommand } from '../../fakes/slack-requests.js'
import { until as lookUntil } from '../../tools/until.js'
import type { Whole } from '../../tools/whole-way.js'
import { GRANTED } from './loopback.js'
import { startWhole } from './whole.js'

const CASE = `LE 58M, AL 29.60 optical SD 0.02, K1 42.10@95 K2 43.20@5, ACD 3.45, LT 4.90, WTW 12.1, CCT 548
brown NO 5.2; ECD 2180; no fundal view, B-scan flat
fellow eye pseudophakic -1.50; target -1.75; A 118.9; registrar
? Chop, or plan a manual extraction from the start?`

let api: SlackApi
let soundings: Whole
let folder: string

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'soundings-slack-'))
  api = await startSlackApi({
    scopes: GRANTED,
    channels: ['C0001', 'D0001'],
    names: { U0001: 'Rowan Vale', U0002: 'Odile Finch' },
  })
  soundings = await start()
})
afterEach(async () => {
  await soundings.stop()
  await api.stop()
  rmSync(folder, { recursive: true })
})

const start = () => startWhole(api, join(folder, 'trail.db'))

const say = async (payload: object) => {
  const { status } = await deliver(soundings.url, payload)
  expect(status).toBe(200)
}

const seen = () => ({ posted: api.posted.length, ephemeral: api.ephemeral.map((one) => one.text) })
const until = <T>(look: () => T | undefined | false): Promise<T> => lookUntil(look, seen)

interface Button {
  readonly action_id: string
  readonly value: string
}

/** The button with this label among a message's blocks. */
function button(blocks: readonly unknown[], actionId: string): Button {
  const buttons = blocks.flatMap((block) => (block as { elements?: Button[] }).elements ?? [])
  const found = buttons.find((one) => one.action_id === actionId)
  if (found === undefined) throw new Error(`no button ${actionId} among ${buttons.map((one) => one.action_id).join(', ')}`)
  return found
}

const press = ({ action_id, value }: Button, user: string, more: object = {}) => {
  const body = buttonPress(value, { user: { id: user, name: user.toLowerCase(), team_id: BOT.team }, ...more })
  return { ...body, actions: body.actions.map((action) => ({ ...action, action_id })) }
}

/** Puts the case by a command, posts its preview, and waits for the card. */
async function posted() {
  await say(slashCommand(CASE, { response_url: api.responseUrl() }))
  const preview = await until(() => api.ephemeral[0])
  await say(press(button(preview.blocks, 'post-draft'), 'U0001', { response_url: api.responseUrl() }))
  return until(() => api.posted[0])
}

describe('a case put on Slack', () => {
  it('is previewed to its asker alone, posted on their word, answered by a colleague, and shows who answered', async () => {
    const card = await posted()
    expect(card.channel).toBe('C0001')
    const preview = api.ephemeral[0]
    expect(JSON.stringify(preview?.blocks)).toContain('29.60')
    const shown = JSON.stringify(card.blocks)
    expect(shown).toContain('Left eye')
    expect(shown).toContain('Chop, or plan a manual extraction from the start?')
    expect(shown).toContain('Rowan Vale')
    await until(() => api.ephemeral.find((one) => one.replaceOriginal))

    const agree = press(button(card.blocks, 'give-opinion:agree'), 'U0002', {
      message: { ts: card.ts, thread_ts: card.ts },
      response_url: api.responseUrl(),
    })
    await say(agree)
    await say(agree)
    await until(() => JSON.stringify(api.posted[0]?.blocks).includes('Odile Finch'))
    expect(api.posted.filter((one) => one.thread_ts === undefined)).toHaveLength(1)
  })

  it('goes on in its thread, where a typed answer counts', async () => {
    const card = await posted()
    await until(() => api.posted.some((one) => one.thread_ts === card.ts))
    const more = { thread_ts: card.ts, parent_user_id: BOT.userId }
    await say(messageEvent({ text: 'agree but: mark the axis first', user: 'U0002', ts: '1790009999.000100', more }))
    await until(() => JSON.stringify(api.posted[0]?.blocks).includes('mark the axis first'))
  })

  it('is still there after a restart, and a delivery that Slack repeats makes no second one', async () => {
    const command = slashCommand(CASE, { response_url: api.responseUrl() })
    await say(command)
    const preview = await until(() => api.ephemeral[0])
    const post = press(button(preview.blocks, 'post-draft'), 'U0001', { response_url: api.responseUrl() })
    await say(post)
    await until(() => api.posted[0])
    await soundings.stop()
    soundings = await start()
    await say(command)
    await say(post)
    const mention = messageEvent({ text: '<@UBOT0001> find brown', more: { type: 'app_mention' } })
    await say(mention)
    const found = await until(() => api.ephemeral.find((one) => one.by === 'chat.postEphemeral'))
    expect(JSON.stringify(found.blocks)).toMatch(/[A-Z]+-\d+/)
    expect(api.posted.filter((one) => one.thread_ts === undefined)).toHaveLength(1)
    expect(api.ephemeral.filter((one) => one.text === preview.text)).toHaveLength(1)
  })

  it('whose posting was answered by nobody is found again and not posted twice', async () => {
    api.misbehave('chat.postMessage', { kind: 'lost-answer' })
    const card = await posted()
    // the look comes two seconds after the send; an answer then finds its way onto the card that was found
    await until(() => api.calls.some((one) => one.method === 'conversations.history'))
    await until(() => api.posted.some((one) => one.thread_ts === card.ts))
    expect(api.posted.filter((one) => one.thread_ts === undefined)).toHaveLength(1)
  })

  it('in a channel without the bot tells its asker to invite it', async () => {
    await say(slashCommand(CASE, { channel_id: 'C0009', response_url: api.responseUrl() }))
    const preview = await until(() => api.ephemeral[0])
    const more = { channel: { id: 'C0009' }, container: { channel_id: 'C0009', message_ts: '1.2' }, message: undefined }
    await say(press(button(preview.blocks, 'post-draft'), 'U0001', { ...more, response_url: api.responseUrl() }))
    await until(() => api.ephemeral.find((one) => JSON.stringify(one.blocks).includes('invite the bot')))
    expect(api.posted).toEqual([])
  })

  it('that may identify a patient goes no further than the door, and its asker is told which kind stood where', async () => {
    await say(slashCommand(`${CASE}\nDOB 03.02.1950`, { response_url: api.responseUrl() }))
    const answer = await until(() => api.ephemeral[0])
    expect(JSON.stringify(answer.blocks)).toMatch(/line 5/i)
    expect(JSON.stringify(answer)).not.toContain('1950')
  })

  it.each(['', 'help'])('given as %j gets an answer that helps', async (text) => {
    await say(slashCommand(text, { response_url: api.responseUrl() }))
    const answer = await until(() => api.ephemeral[0])
    expect(JSON.stringify(answer.blocks)).toContain('AL ')
  })
})
