import { describe, expect, it } from 'vitest'
import type { ChoiceAction } from '../../src/cards/card.js'
import type { ConsultEvent } from '../../src/consult/events.js'
import { OPINION_WORDS } from '../../src/consult/opinion.js'
import { type Chat, NAMES } from './same-powers/chat.js'
import { onSlack } from './same-powers/on-slack.js'
import { onTeams } from './same-powers/on-teams.js'
import { onThePage } from './same-powers/on-the-page.js'

const CASE = `LE 58M, AL 29.60 optical SD 0.02, K1 42.10@95 K2 43.20@5, ACD 3.45, LT 4.90, WTW 12.1, CCT 548
brown NO 5.2; ECD 2180; no fundal view, B-scan flat
fellow eye pseudophakic -1.50; target -1.75; A 118.9; registrar
? Chop, or plan a manual extraction from the start?`

const does =
  (action: ChoiceAction['action']) =>
  (one: ChoiceAction): boolean =>
    one.action === action
const agrees = (one: ChoiceAction): boolean => one.action === 'give-opinion' && one.opinion === 'agree'

/** The whole life of a consult, by message, by button, by form and by typing. */
async function live(chat: Chat): Promise<void> {
  // Whoever has spoken to the bot once is known by name from then on, whichever chat it is.
  await chat.say('colleague', 'home')
  await chat.say('asker', CASE.replace('29.60', '29.06'))
  await chat.say('asker', `correct: ${CASE}`)
  await chat.fill('asker', 'preview', 'ask', {
    asked: NAMES.colleague,
    urgency: 'Today',
    hideUntil: 'Hidden until I lift them',
  })
  await chat.press('asker', 'preview', does('post-draft'))
  await chat.press('colleague', 'consult', agrees)
  await chat.write('colleague', 'need: a second biometry')
  await chat.write('colleague', 'The capsule looked calcified to me')
  await chat.write('asker', 'task: order a lens @Odile Finch by 2026-12-01')
  await chat.fill('asker', 'consult', 'task', { what: 'retinal opinion', due: '2026-11-30' })
  await chat.write('colleague', 'done T1: 29.70 by immersion')
  await chat.write('asker', 'change: AL 29.70')
  await chat.fill('asker', 'consult', 'change', { items: 'ECD 2210' })
  await chat.fill('colleague', 'consult', 'opinion', {
    opinion: OPINION_WORDS['agree-with-changes'],
    sentence: 'Chop, slowly, under a dispersive viscoelastic.',
    wouldChangeMind: 'a loose lens',
  })
  await chat.press('asker', 'consult', does('reveal'))
  const [critical] = await criticalOf(chat)
  await chat.fill('asker', 'consult', 'decide', {
    planA: 'Chop',
    planB: 'Manual extraction',
    trigger: 'the nucleus does not turn',
    operates: 'consultant',
    lens: '+9.0',
    lensBecause: 'it is the one in stock',
    follows: `${NAMES.colleague}: ${OPINION_WORDS['agree-with-changes']}`,
    [`override:${critical}`]: 'the list has no other day',
  })
  await chat.press('colleague', 'consult', does('near-miss'))
  await chat.fill('asker', 'consult', 'outcome', { stage: 'Operation', lens: '+9.0', complications: 'None' })
  await chat.write('asker', 'close')
  await chat.write('asker', 'reopen: the refraction surprises')
}

async function criticalOf({ store }: Chat): Promise<readonly string[]> {
  const events = await eventsOf(store)
  const hash = events.flatMap((event) => ('planHash' in event ? [event.planHash] : [])).at(-1) ?? ''
  const plan = await store.trail.plan(hash)
  return (plan?.precautions ?? [])
    .filter(({ finding, indicator, place }) => finding === 'fires' && indicator === 'critical' && place === 'eye')
    .map(({ id }) => id)
}

async function eventsOf(store: Chat['store']): Promise<readonly ConsultEvent[]> {
  const [found] = await store.trail.newest('everything', 5)
  return found === undefined ? [] : store.trail.events(found.ref)
}

/** What differs from chat to chat: references, places, times, ids of people and of messages. Names are the same everywhere. */
function alike(events: readonly ConsultEvent[]): readonly unknown[] {
  const own = new Set(['ref', 'place', 'at', 'answerBy', 'message', 'id', 'on'])
  return events.map(
    (event) => JSON.parse(JSON.stringify(event, (key, value: unknown) => (own.has(key) ? undefined : value))) as unknown,
  )
}

const CHATS = [
  ['Slack', onSlack],
  ['Teams', onTeams],
  ['the page', onThePage],
] as const

describe('the life of a consult', () => {
  const trails = new Map<string, readonly unknown[]>()

  it.each(CHATS)('can be lived whole on %s', { timeout: 60_000 }, async (name, start) => {
    const chat = await start()
    try {
      await live(chat)
      const events = await eventsOf(chat.store)
      trails.set(name, alike(events))
      expect(events.map(({ type }) => type)).toEqual([
        'consult-asked',
        'opinion-given',
        'opinion-given',
        'task-opened',
        'comment-made',
        'task-opened',
        'task-opened',
        'task-done',
        'consult-revised',
        'consult-revised',
        'opinion-given',
        'opinions-revealed',
        'consult-decided',
        'outcome-recorded',
        'outcome-recorded',
        'consult-closed',
        'consult-reopened',
      ])
    } finally {
      await chat.stop()
    }
  })

  it('leaves the same trail everywhere', () => {
    const [first, ...others] = CHATS.map(([name]) => trails.get(name))
    expect(JSON.stringify(first)).toContain('the list has no other day')
    expect(JSON.stringify(first)).toContain(NAMES.colleague)
    expect(others).toHaveLength(2)
    for (const other of others) expect(other).toEqual(first)
  })
})
