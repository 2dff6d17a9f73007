import { describe, expect, it } from 'vitest'
import { SOUNDINGS } from '../../src/desk/remind.js'
import { ASKER, CORNEA, PLACE, RETINA } from '../consult/invented-people.js'
import { asked, notes, wordsOf } from './an-asked-consult.js'
import { answerCard, answered, tap, text } from './desk-in-memory.js'

describe('reminders', () => {
  const due = {
    kind: 'reminder',
    ref: 'MARSH-7',
    reminder: 'unanswered',
    to: ['Sorrel'],
    by: SOUNDINGS,
    place: PLACE,
    reply: {},
  } as const

  it('say once that nobody has answered, ask the deputy, and show it on the card', async () => {
    const desk = await asked('post deputy Sorrel')
    desk.now.at = '2026-03-06T10:00:00.000Z'
    const effects = await desk.handle(due)
    expect(effects.events).toMatchObject([
      { type: 'deputy-asked', deputy: 'Sorrel' },
      { type: 'reminder-sent', kind: 'unanswered' },
    ])
    expect([wordsOf(effects), notes(effects)[0]?.mentions]).toEqual([
      expect.stringContaining('Sorrel is asked as deputy'),
      ['Sorrel'],
    ])
    expect((await desk.handle(due)).outbound).toEqual([])
    const shown = async () => JSON.stringify(answerCard(await desk.handle(text('MARSH-7')))?.first)
    expect(await shown()).toContain('NO SENIOR HAS REPLIED')
    await desk.say('agree', { id: 'slack:T1:U9', name: 'Teal', grade: 'fellow' })
    expect(await shown()).toContain('NO SENIOR HAS REPLIED')
    await desk.say('agree', CORNEA)
    expect(await shown()).not.toContain('NO SENIOR HAS REPLIED')
  })

  it('go to each person alone who is known, and to the thread for those who are only named', async () => {
    const desk = await asked('post deputy Sorrel')
    desk.now.at = '2026-03-06T10:00:00.000Z'
    const effects = await desk.handle({ ...due, to: [RETINA.id, 'Teal'] })
    const [thread, direct, ...rest] = notes(effects)
    expect(rest).toEqual([])
    expect([thread?.mentions, thread?.direct]).toEqual([['Teal'], undefined])
    expect([direct?.mentions, direct?.direct?.to]).toEqual([[RETINA.id], RETINA.id])
    // alone, nothing but the reference says which consult is meant
    expect(direct?.direct?.card.typing).toContain('MARSH-7 agree but: …')
    expect(direct?.direct?.card.choices.map(({ does }) => does)).toEqual([
      { action: 'open-form', form: 'opinion', ref: 'MARSH-7', revision: 1 },
      { action: 'stop-reminders', ref: 'MARSH-7' },
    ])
  })

  it('that are for nobody by name stand in the thread', async () => {
    const desk = await asked()
    desk.now.at = '2026-03-06T10:00:00.000Z'
    expect(notes(await desk.handle({ ...due, to: [] }))).toMatchObject([{ mentions: [] }])
  })

  it('are stopped by a tap in the direct messages too', async () => {
    const desk = await asked('post deputy Sorrel')
    const place = { ...PLACE, channel: 'D3' }
    const stop = tap({ action: 'stop-reminders', ref: 'MARSH-7' }, { by: RETINA, place })
    expect((await desk.handle(stop)).events).toMatchObject([{ type: 'reminders-paused', by: RETINA }])
  })

  it('are not sent when somebody answered while they waited', async () => {
    const desk = await asked()
    await desk.say('agree', CORNEA)
    desk.now.at = '2026-03-06T10:00:00.000Z'
    expect((await desk.handle(due)).events).toEqual([])
  })

  it('are stopped by a tap, and set by each person for themselves', async () => {
    const desk = await asked()
    expect((await desk.handle(tap({ action: 'stop-reminders', ref: 'MARSH-7' }))).events).toMatchObject([
      { type: 'reminders-paused', by: ASKER },
    ])
    expect((await desk.handle(tap({ action: 'stop-reminders', ref: 'MARSH-7' }))).events).toEqual([])
    expect((await desk.handle(text('zone Europe/London'))).settings).toEqual([
      { id: ASKER.id, reminders: true, zone: 'Europe/London' },
    ])
    expect((await desk.handle(text('quiet 21.30-7:00'))).settings).toMatchObject([
      { zone: 'Europe/London', quiet: { from: '21:30', to: '07:00' } },
    ])
    expect(answered(await desk.handle(text('reminders off')))).toContain('You get no reminders')
    expect(answered(await desk.handle(text('zone Nowhere/Atall')))).toContain('not a time zone')
  })
})

describe('home', () => {
  const home = async (desk: Awaited<ReturnType<typeof asked>>, by = ASKER) =>
    JSON.stringify(answerCard(await desk.handle(text('home', { by })))?.first)

  it('shows each person what waits for them and their own open consults', async () => {
    const desk = await asked('post ask Alder')
    expect(await home(desk, CORNEA)).toContain('MARSH-7 · your opinion is wanted')
    expect(await home(desk, RETINA)).toContain('Nothing waits for you')
    await desk.say('agree', CORNEA)
    expect(await home(desk)).toContain('MARSH-7 · answered: decide')
    await desk.say('change: AL 29.70')
    expect(await home(desk, CORNEA)).toContain('changed since you answered: now revision 2')
    await desk.say('close')
    expect(await home(desk)).toContain('You have no open consult')
  })
})
