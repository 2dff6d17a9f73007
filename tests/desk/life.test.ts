import { describe, expect, it } from 'vitest'
import { understand } from '../../src/intake/understand.js'
import { ASKER, CORNEA, PLACE, RETINA } from '../consult/invented-people.js'
import { inventedPlan } from '../contracts/invented-plan.js'
import { asked, CASE, notes, wordsOf } from './an-asked-consult.js'
import { answerCard, answered, deskInMemory, inThread, tap, text } from './desk-in-memory.js'

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
