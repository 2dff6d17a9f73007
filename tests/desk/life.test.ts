import { describe, expect, it } from 'vitest'
import type { Outbound } from '../../src/desk/ports.js'
import { SOUNDINGS } from '../../src/desk/remind.js'
import type { Effects } from '../../src/desk/store.js'
import { understand } from '../../src/intake/understand.js'
import { ASKER, CORNEA, PLACE, RETINA } from '../consult/invented-people.js'
import { inventedPlan } from '../contracts/invented-plan.js'
import { answerCard, answered, deskInMemory, inThread, tap, text } from './desk-in-memory.js'

const CASE = 'LE, AL 29.60 optical, K1 42.10@95 K2 43.20@5, staphyloma, sub-Tenon; surgery 2026-03-09\nQ: chop or manual?'

/** A desk that really reads cases, with MARSH-7 asked in it. */
async function asked(post = 'post', changes: Parameters<typeof deskInMemory>[0] = {}) {
  const desk = deskInMemory({
    understand,
    makePlan: async (given) => ({ ...inventedPlan(), case: given }),
    ...changes,
  })
  await desk.handle(text(CASE))
  await desk.handle(text(post))
  const say = (said: string, by = ASKER) => desk.handle(text(said, { by, place: inThread('MARSH-7'), addressed: false }))
  return { ...desk, say }
}
const notes = (effects: Effects): readonly Extract<Outbound, { kind: 'thread-note' }>[] =>
  effects.outbound.flatMap((outbound) => (outbound.kind === 'thread-note' ? [outbound] : []))
const wordsOf = (effects: Effects): string => JSON.stringify(notes(effects).map(({ card }) => card))

describe('how a consult is put', () => {
  it('may be typed with post, and the day of surgery is taken from the case', async () => {
    const desk = deskInMemory({ understand, makePlan: async (given) => ({ ...inventedPlan(), case: given }) })
    await desk.handle(text(CASE))
    const { events } = await desk.handle(text('post ask @Alder; today; hide until 2; deputy @Sorrel'))
    expect(events).toMatchObject([
      {
        type: 'consult-asked',
        asked: ['Alder'],
        urgency: 'today',
        hideUntil: 2,
        deputy: 'Sorrel',
        surgeryDate: '2026-03-09',
        answerBy: '2026-03-02T20:00:00.000Z',
      },
    ])
  })

  it('that is not understood posts nothing', async () => {
    const desk = deskInMemory()
    await desk.handle(text(CASE))
    const effects = await desk.handle(text('post today; quickly please'))
    expect(effects.events).toEqual([])
    expect(answered(effects)).toContain('Nothing was posted')
  })
})

describe('a change of the case', () => {
  it('makes a new revision and tells the thread what changed and who had answered', async () => {
    const desk = await asked()
    await desk.say('agree', CORNEA)
    const effects = await desk.say('change: AL 29.70')
    expect(effects.events).toMatchObject([
      { type: 'consult-revised', revision: 2, changed: ['Axial length: 29.60 mm → 29.70 mm'] },
    ])
    expect(effects.plans).toHaveLength(1)
    expect(wordsOf(effects)).toContain('Axial length: 29.60 mm → 29.70 mm')
    expect(wordsOf(effects)).toContain('Answered on revision 1, before this change: Alder')
    expect(notes(effects)[0]?.mentions).toEqual([CORNEA.id])
    const kept = effects.plans[0]?.plan.case
    // What did not change keeps the words it was first read from.
    expect([kept?.axialLengthMm?.value, kept?.staphyloma?.source]).toEqual([29.7, 'staphyloma'])
  })

  it('of one corneal power, of the question, and of a fact taken back, is read as such', async () => {
    const desk = await asked()
    const cornea = await desk.say('change: K1 42.50@95')
    expect(cornea.plans[0]?.plan.case.keratometry?.value).toMatchObject({ flatD: 42.5, steepD: 43.2 })
    const question = await desk.say('change: Q: manual from the start?')
    expect(question.events).toMatchObject([{ type: 'consult-revised', question: 'manual from the start?' }])
    const without = await desk.say('change: without staphyloma')
    expect(without.events).toMatchObject([{ changed: ['Posterior staphyloma: present → not stated'] }])
    expect(without.plans[0]?.plan.case.staphyloma).toBeUndefined()
  })

  it.each([
    ['change: AL 29.60', 'already says so'],
    ['change: AL 235', 'Nothing was changed'],
    ['change: good morning', 'could not be read as an item'],
    ['change: without magic', 'Nothing called'],
  ])('%s is refused with the reason', async (said, words) => {
    const desk = await asked()
    const effects = await desk.say(said)
    expect([effects.events, effects.plans]).toEqual([[], []])
    expect(answered(effects)).toContain(words)
  })

  it('overheard from a colleague is a comment, and said to the bot is refused', async () => {
    const desk = await asked()
    expect((await desk.say('change: AL 30', CORNEA)).events).toMatchObject([{ type: 'comment-made' }])
    const effects = await desk.handle(text('MARSH-7 change: AL 30', { by: CORNEA }))
    expect(answered(effects)).toContain('Only Wren, who asked MARSH-7, can change the case')
  })
})

describe('a decision', () => {
  it('is read back with its signed power, in the answer and in the thread', async () => {
    const desk = await asked()
    const effects = await desk.say(
      'decide: A chop; B manual extraction; if the nucleus does not crack; operates consultant; lens +9.0',
    )
    expect(effects.events).toMatchObject([{ type: 'consult-decided', decision: { lens: { powerD: 9 } } }])
    expect(answered(effects)).toContain('+9.0 D (plus 9.0)')
    expect(wordsOf(effects)).toContain('+9.0 D (plus 9.0)')
    const card = answerCard(await desk.handle(text('MARSH-7')))
    expect(JSON.stringify(card?.first)).toContain('chop · +9.0 D (plus 9.0) · consultant')
  })

  it('without the sign of the lens is not taken', async () => {
    const desk = await asked()
    const effects = await desk.say('decide: A chop; operates me; lens 9')
    expect(effects.events).toEqual([])
    expect(answered(effects)).toContain('write +9.0 or \u22129.0')
  })

  it('by form says the same as typed, and gives back what was written when it is refused', async () => {
    const desk = await asked()
    await desk.say('stop: the retina is off', CORNEA)
    const form = (values: Record<string, string>) =>
      desk.handle({
        kind: 'form',
        form: 'decide',
        about: { ref: 'MARSH-7', revision: 1 },
        values,
        by: ASKER,
        place: PLACE,
        reply: {},
      })
    const plain = { planA: 'chop', operates: 'consultant', lens: '+9.0' }
    const refused = await form(plain)
    expect(refused.events).toEqual([])
    expect(answered(refused)).toContain('Alder objected')
    expect(answered(refused)).toContain('You wrote:')
    const unsigned = await form({ ...plain, lens: '9' })
    expect(answered(unsigned)).toContain('sign of the lens power')
    const taken = await form({
      ...plain,
      [`depart:${CORNEA.id}`]: 'seen flat since',
      'override:long-eye-low-bottle': 'the pump is set',
    })
    expect(taken.events).toMatchObject([
      {
        decision: {
          departs: [{ from: 'Alder', because: 'seen flat since' }],
          overrides: [{ precaution: 'long-eye-low-bottle', because: 'the pump is set' }],
        },
      },
    ])
  })
})

describe('hidden opinions', () => {
  it('are counted on the card and shown only when lifted', async () => {
    const desk = await asked('post hide until I lift')
    await desk.handle(
      tap({ action: 'give-opinion', ref: 'MARSH-7', revision: 1, opinion: 'agree' }, { by: CORNEA, sentence: 'with a ring' }),
    )
    const before = JSON.stringify(answerCard(await desk.handle(text('MARSH-7'))))
    expect(before).toContain('1 answer, hidden until Wren lifts them')
    expect(before).not.toContain('with a ring')
    expect(answered(await desk.handle(tap({ action: 'reveal', ref: 'MARSH-7' }, { by: CORNEA })))).toContain('Only Wren')
    await desk.handle(tap({ action: 'reveal', ref: 'MARSH-7' }))
    expect(JSON.stringify(answerCard(await desk.handle(text('MARSH-7'))))).toContain('with a ring')
  })
})

describe('an answer while opinions are hidden', () => {
  const inTheThread = (said: string) => text(said, { by: CORNEA, place: inThread('MARSH-7'), addressed: false, message: 'm9' })
  const card = async (desk: Awaited<ReturnType<typeof asked>>) => JSON.stringify(answerCard(await desk.handle(text('MARSH-7'))))

  it('typed where others read it is recorded, not repeated, and its writer learns how to answer unseen', async () => {
    const desk = await asked('post hide until 3')
    const effects = await desk.handle(inTheThread('agree but: larger rhexis'))
    expect(effects.events).toMatchObject([{ type: 'opinion-given', opinion: { sentence: 'larger rhexis' } }])
    const told = answered(effects)
    expect(told).toContain('what you typed here is read by all')
    expect(told).toContain('write to me alone: MARSH-7 agree but: …')
    expect(JSON.stringify(effects.outbound)).not.toContain('larger rhexis')
  })

  it('is given unseen by writing to the bot alone, with the reference', async () => {
    const desk = await asked('post hide until 3')
    const effects = await desk.handle(
      text('MARSH-7 agree but: larger rhexis', { by: CORNEA, place: { ...PLACE, channel: 'D2' }, message: 'm9' }),
    )
    expect(effects.events).toMatchObject([
      { type: 'opinion-given', by: { id: CORNEA.id }, opinion: { kind: 'agree-with-changes' } },
    ])
    expect(answered(effects)).not.toContain('read by all')
    const shown = await card(desk)
    expect(shown).toContain('or write to the bot alone: MARSH-7 agree but: …')
    expect(shown).not.toContain('larger rhexis')
  })

  it('says nothing by the task that it becomes, on the card or a sheet, until it is shown', async () => {
    const desk = await asked('post hide until I lift')
    await desk.handle(
      tap(
        { action: 'give-opinion', ref: 'MARSH-7', revision: 1, opinion: 'need-this-first' },
        { by: CORNEA, sentence: 'specular count' },
      ),
    )
    const sheet = async () => JSON.stringify(answerCard(await desk.handle(text('MARSH-7 record'))))
    expect(await card(desk)).toContain('T1 what an opinion needs first')
    expect([await card(desk), await sheet()].join('')).not.toContain('specular count')
    await desk.handle(tap({ action: 'reveal', ref: 'MARSH-7' }))
    expect(await card(desk)).toContain('T1 specular count')
  })

  it('is an answer like any other once they are shown', async () => {
    const desk = await asked()
    expect(answered(await desk.handle(inTheThread('agree but: larger rhexis')))).not.toContain('read by all')
  })
})

describe('tasks', () => {
  it('are given to somebody with a day, told to them, and done', async () => {
    const desk = await asked()
    const given = await desk.say('task: second biometry @Alder by Friday', CORNEA)
    expect(given.events).toMatchObject([
      { type: 'task-opened', task: 'T1', what: 'second biometry', owner: 'Alder', due: '2026-03-06' },
    ])
    // By id, so that the chat can tell her whoever has been heard of since it started.
    expect(notes(given)[0]?.mentions).toEqual([CORNEA.id])
    expect(JSON.stringify(answerCard(await desk.handle(text('MARSH-7')))?.first)).toContain(
      'T1 second biometry · Alder · by 6 Mar 2026',
    )
    const done = await desk.say('done T1: 29.58', RETINA)
    expect(done.events).toMatchObject([{ type: 'task-done', task: 'T1', result: '29.58' }])
    expect(answered(await desk.handle(tap({ action: 'task-done', ref: 'MARSH-7', task: 'T1' })))).toContain('done already')
  })

  it('refuse a day that is none', async () => {
    const desk = await asked()
    expect(answered(await desk.say('task: B-scan @Alder by 32 March', CORNEA))).toContain('is not a day')
  })
})

describe('what is taken out of the chat', () => {
  it.each(['record', 'theatre', 'consent'])('%s is shown to whoever asks for it', async (sheet) => {
    const desk = await asked()
    const effects = await desk.handle(text(`MARSH-7 ${sheet}`, { by: CORNEA }))
    expect([effects.events, effects.outbound.length]).toEqual([[], 1])
    expect(answerCard(effects)?.first.length).toBeGreaterThan(0)
  })
})

describe('the end', () => {
  it('is said in the thread with the reason, to those who had answered', async () => {
    const desk = await asked()
    await desk.say('agree', CORNEA)
    const effects = await desk.say('withdraw: operated elsewhere')
    expect(effects.events).toMatchObject([{ type: 'consult-withdrawn', because: 'operated elsewhere' }])
    expect([wordsOf(effects), notes(effects)[0]?.mentions]).toEqual([expect.stringContaining('operated elsewhere'), [CORNEA.id]])
    const card = answerCard(await desk.handle(text('MARSH-7')))
    expect(JSON.stringify(card?.first)).toContain('Withdrawn by Wren: operated elsewhere')
    expect(card?.choices).toEqual([])
    expect((await desk.say('agree', RETINA)).events).toMatchObject([{ type: 'comment-made', text: 'agree' }])
  })

  it('is a lead’s to say as well, and a lead may give the consult on', async () => {
    const desk = await asked('post', { leads: new Set([RETINA.id]) })
    await desk.say('hello', CORNEA)
    const given = await desk.say('give: @Alder', RETINA)
    expect(given.events).toMatchObject([{ type: 'consult-reassigned', to: CORNEA }])
    expect((await desk.say('close', RETINA)).events).toMatchObject([{ type: 'consult-closed' }])
    expect(answered(await desk.handle(text('MARSH-7 give: Nobody')))).toContain('not known on MARSH-7')
  })
})

describe('messages of the thread', () => {
  const change = (kind: 'edited' | 'deleted' | 'picture', words?: string) =>
    ({
      kind,
      message: 'm1',
      by: CORNEA,
      place: inThread('MARSH-7'),
      reply: {},
      ...(words === undefined ? {} : { text: words }),
    }) as const

  it('that are edited or taken back are recorded as such; of a picture, what it was said to show', async () => {
    const desk = await asked()
    await desk.handle(text('flat', { by: CORNEA, place: inThread('MARSH-7'), addressed: false, message: 'm1' }))
    expect((await desk.handle(change('edited', 'not flat'))).events).toMatchObject([
      { type: 'comment-edited', message: 'm1', text: 'not flat' },
    ])
    expect((await desk.handle(change('edited', 'not flat'))).events).toEqual([])
    expect((await desk.handle(change('deleted'))).events).toMatchObject([{ type: 'comment-deleted' }])
    expect((await desk.handle(change('picture', 'B-scan'))).events).toMatchObject([{ type: 'picture-shown', said: 'B-scan' }])
    expect((await desk.handle({ ...change('picture'), place: PLACE })).events).toEqual([])
  })
})

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
