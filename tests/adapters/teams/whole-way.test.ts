import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import {
  buttonPress,
  CHANNEL,
  channelMessage,
  deliver,
  GROUP,
  groupMessage,
  ODILE,
  PERSONAL,
  ROWAN,
} from '../../fakes/teams-activities.js'
import { type Standing, startTeamsConnector, type TeamsConnector } from '../../fakes/teams-connector.js'
import { channelToken } from '../../fakes/teams-tokens.js'
import { until as lookUntil } from '../../tools/until.js'
import type { Whole } from '../../tools/whole-way.js'
import { startWhole } from './whole.js'

const LINES = [
  'LE 58M, AL 29.60 optical SD 0.02, K1 42.10@95 K2 43.20@5, ACD 3.45, LT 4.90, WTW 12.1, CCT 548',
  'brown NO 5.2; ECD 2180; no fundal view, B-scan flat',
  'fellow eye pseudophakic -1.50; target -1.75; A 118.9; registrar',
  '? Chop, or plan a manual extraction from the start?',
]
/** As Teams sends it: the lines in the HTML, signs as entities. */
const asHtml = (lines: readonly string[]) =>
  `<p><at id="0">Soundings</at>&nbsp;${lines.join('</p><p>').replaceAll('-', '&#45;')}</p>`
const CASE = channelMessage(LINES.join(' '), { content: asHtml(LINES) })

let connector: TeamsConnector
let soundings: Whole
let folder: string

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'soundings-teams-'))
  connector = await startTeamsConnector({ conversations: [CHANNEL, GROUP] })
  connector.chats.set(ROWAN.id, PERSONAL)
  soundings = await start()
})
afterEach(async () => {
  await soundings.stop()
  await connector.stop()
  rmSync(folder, { recursive: true })
})

const start = () => startWhole(connector, join(folder, 'trail.db'))

const say = async (activity: object) => {
  const { serviceUrl } = connector
  const { status } = await deliver(soundings.url, { ...activity, serviceUrl }, { token: channelToken(serviceUrl) })
  expect(status).toBe(200)
}

const seen = () => connector.standing.map(({ conversation, summary }) => ({ conversation, summary }))
const until = <T>(look: () => T | undefined | false): Promise<T> => lookUntil(look, seen)

const inPersonal = () => connector.standing.filter(({ conversation }) => conversation === PERSONAL)
const roots = () => connector.standing.filter(({ id, conversation }) => conversation === `${CHANNEL};messageid=${id}`)
const inThreadOf = ({ id }: Standing) =>
  connector.standing.filter((one) => one.conversation === `${CHANNEL};messageid=${id}` && one.id !== id)

interface Button {
  readonly data: { readonly soundings: Readonly<Record<string, unknown>> }
}

/** What the button with these words in its action carries. */
function button({ card }: Standing, words: Readonly<Record<string, unknown>>): unknown {
  const buttons = (card as { actions?: readonly Button[] }).actions ?? []
  const found = buttons.find(({ data }) => Object.entries(words).every(([key, value]) => data.soundings[key] === value))
  if (found === undefined) throw new Error(`no such button among ${JSON.stringify(buttons)}`)
  return found.data
}

const postPreview = (preview: Standing) =>
  buttonPress(button(preview, { action: 'post-draft' }), { personal: true, card: preview.id, from: ROWAN, id: 'f:post' })

/** Puts the case by naming the bot, posts its preview, and waits for the card. */
async function posted(): Promise<Standing> {
  await say(CASE)
  await say(postPreview(await until(() => inPersonal()[0])))
  return until(() => roots()[0])
}

describe('a case put on Teams', () => {
  it('is previewed to its asker alone, posted in the channel on their word, answered by a colleague, and shows who answered', async () => {
    const card = await posted()
    const shown = JSON.stringify(card.card)
    expect(shown).toContain('Left eye')
    expect(shown).toContain('Chop, or plan a manual extraction from the start?')
    expect(shown).toContain('Rowan Vale')
    await until(() => inPersonal()[0]?.summary.startsWith('Put to the team'))

    const value = { ...(button(card, { opinion: 'agree' }) as object), sentence: 'mark the axis' }
    const agree = buttonPress(value, { card: card.id, from: ODILE, id: 'f:agree' })
    await say(agree)
    await say(agree)
    const answered = await until(() => roots()[0] && JSON.stringify(roots()[0]?.card).includes('Odile Finch') && roots()[0])
    expect(JSON.stringify(answered.card).split('mark the axis')).toHaveLength(2)
    expect(roots()).toHaveLength(1)
  })

  it('goes on in its thread, where a typed answer counts although it does not name the bot', async () => {
    const card = await posted()
    await until(() => inThreadOf(card).length > 0)
    await say(
      channelMessage('agree but: mark the axis first', { mention: false, root: card.id, from: ODILE, id: '1790009999000' }),
    )
    await until(() => JSON.stringify(roots()[0]?.card).includes('mark the axis first'))
  })

  it('is still there after a restart, and a delivery that Teams repeats makes no second one', async () => {
    const card = await posted()
    const preview = inPersonal()[0]
    await soundings.stop()
    soundings = await start()
    await say(CASE)
    await say(buttonPress(button(card, { opinion: 'agree' }), { card: card.id, from: ODILE, id: 'f:agree' }))
    await until(() => JSON.stringify(roots()[0]?.card).includes('Odile Finch'))
    expect(roots()).toHaveLength(1)
    expect(inPersonal()[0]?.id).toBe(preview?.id)
  })

  it('whose posting was answered by nobody is not posted again on its own; its asker is told, and may have it sent again', async () => {
    await say(CASE)
    const preview = await until(() => inPersonal()[0])
    connector.misbehave({ kind: 'lost-answer' }, /POST .*\/v3\/conversations$/)
    await say(postPreview(preview))
    const notice = await until(() => inPersonal().find(({ summary }) => summary.includes('possibly posted')))
    expect(inPersonal()[0]?.summary).toContain('Put to the team')
    expect(roots()).toHaveLength(1)

    const [again = ''] = /post again [A-Z]+-\d+/.exec(JSON.stringify(notice.card)) ?? []
    await say(channelMessage(again, { id: '1790000300000' }))
    await until(() => roots().length === 2)
  })

  it('in a group chat is previewed to its asker alone as well, and stands in the chat', async () => {
    await say(groupMessage(LINES.join('\n')))
    const preview = await until(() => inPersonal()[0])
    expect(connector.standing.filter(({ conversation }) => conversation === GROUP)).toEqual([])
    await say(postPreview(preview))
    await until(() => connector.standing.some(({ conversation }) => conversation === GROUP))
  })

  it('by somebody who has no chat with the bot is answered with how to open it, and nothing of the case', async () => {
    await say({ ...CASE, from: ODILE })
    const told = await until(() => connector.standing[0])
    expect(told).toMatchObject({
      conversation: `${CHANNEL};messageid=${CASE.id}`,
      summary: expect.stringContaining('personal chat'),
    })
    expect(JSON.stringify(told.card)).not.toMatch(/29\.60|Left eye/)
  })

  it('that may identify a patient goes no further than the door, and its asker is told which kind stood where', async () => {
    const lines = [...LINES, 'DOB 03.02.1950']
    await say(channelMessage('x', { content: asHtml(lines) }))
    const answer = await until(() => inPersonal()[0])
    expect(JSON.stringify(answer.card)).toMatch(/line 5/i)
    expect(JSON.stringify(answer)).not.toContain('1950')
  })

  it.each(['', 'help'])('given as %j gets an answer that helps', async (text) => {
    await say(channelMessage(text))
    expect(JSON.stringify((await until(() => inPersonal()[0])).card)).toContain('AL ')
  })
})
