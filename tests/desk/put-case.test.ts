import { describe, expect, it } from 'vitest'
import type { Place } from '../../src/consult/people.js'
import type { Plan } from '../../src/plan/plan.js'
import { ASKER, CORNEA, PLACE } from '../consult/invented-people.js'
import { inventedPlan } from '../contracts/invented-plan.js'
import { answerCard, answered, deskInMemory, tap, text, understoodAs } from './desk-in-memory.js'

const CASE = 'LE 58M, AL 29.60\nbrown NO 5.2\n? chop or manual'
const post = (draftId = 'd1') => ({ action: 'post-draft', draftId }) as const
const correct = (draftId = 'd1') => ({ action: 'correct-draft', draftId }) as const
const cancel = (draftId = 'd1') => ({ action: 'cancel-draft', draftId }) as const

describe('a case message', () => {
  it('is shown to its asker as it was read, and goes nowhere else', async () => {
    const effects = await deskInMemory().handle(text(CASE))
    expect(effects.events).toEqual([])
    expect(effects.drafts).toMatchObject([{ change: 'put', draft: { id: 'd1', by: ASKER.id, text: CASE, blockedBy: [] } }])
    expect(answerCard(effects)?.choices.map(({ does }) => does.action)).toEqual([
      'post-draft',
      'open-form',
      'correct-draft',
      'cancel-draft',
    ])
  })

  it('that has a blocking problem cannot be posted, and is not lost', async () => {
    const desk = deskInMemory({ understand: () => understoodAs(['AL 295 mm is outside 14 to 40 mm.']) })
    expect(answerCard(await desk.handle(text(CASE)))?.choices.map(({ does }) => does.action)).toEqual([
      'correct-draft',
      'cancel-draft',
    ])
    const effects = await desk.handle(tap(post()))
    expect(effects.events).toEqual([])
    expect(answered(effects)).toContain('AL 295 mm is outside 14 to 40 mm.')
    expect(answered(effects)).toContain('brown NO 5.2')
  })

  it('that cannot be read as one is answered with guidance', async () => {
    const desk = deskInMemory({ understand: () => ({ kind: 'guidance', reason: 'empty', message: 'The message is empty.' }) })
    const effects = await desk.handle(text(''))
    expect(answered(effects)).toContain('The message is empty.')
    expect(answered(effects)).toContain('find staphyloma')
    expect(effects.drafts).toEqual([])
  })

  it('overheard in a channel is nobody’s business', async () => {
    const effects = await deskInMemory().handle(text(CASE, { addressed: false }))
    expect(effects.outbound).toEqual([])
    expect(effects.drafts).toEqual([])
  })
})

describe('posting a draft', () => {
  it('asks the consult with the very plan that was shown', async () => {
    const made: Plan[] = []
    const desk = deskInMemory({
      makePlan: async (known) => {
        made.push({ ...inventedPlan(), case: known })
        return made.at(-1) ?? inventedPlan()
      },
    })
    await desk.handle(text(CASE))
    const shown = made[0]
    const effects = await desk.handle(tap(post()))
    expect(effects.events).toMatchObject([
      { type: 'consult-asked', ref: 'MARSH-7', by: ASKER, question: 'Chop or manual?', place: PLACE },
    ])
    expect(effects.plans).toEqual([
      { hash: effects.events[0]?.type === 'consult-asked' && effects.events[0].planHash, plan: shown },
    ])
    expect(effects.outbound).toMatchObject([{ kind: 'consult-card', ref: 'MARSH-7', tell: { to: ASKER } }, { kind: 'answer' }])
    expect(answered(effects)).toContain('MARSH-7')
  })

  it('asks for the case again when the plan has become another one since it was shown', async () => {
    let step = 0
    const desk = deskInMemory({
      makePlan: async (known) => {
        step += 1
        return { ...inventedPlan(), versions: { ...inventedPlan().versions, rules: `r${step}` }, case: known }
      },
    })
    await desk.handle(text(CASE))
    const effects = await desk.handle(tap(post()))
    expect(effects.events).toEqual([])
    expect(effects.plans).toEqual([])
    expect(answered(effects)).toContain('Send the case again')
    expect(answered(effects)).toContain('brown NO 5.2')
  })

  it('twice makes one consult, and says which', async () => {
    const desk = deskInMemory()
    await desk.handle(text(CASE))
    await desk.handle(tap(post()))
    const effects = await desk.handle(tap(post()))
    expect(effects.events).toEqual([])
    expect(effects.outbound).toHaveLength(1)
    expect(answered(effects)).toContain('as MARSH-7')
  })

  it('takes a reference that is free', async () => {
    const desk = deskInMemory()
    await desk.handle(text(CASE))
    await desk.handle(tap(post()))
    await desk.handle(text(CASE))
    expect((await desk.handle(tap(post('d2')))).events).toMatchObject([{ ref: 'QUAY-2' }])
  })

  it('puts the card into the channel also when the case was typed in a thread', async () => {
    const desk = deskInMemory()
    const place: Place = { ...PLACE, thread: 'some talk' }
    await desk.handle(text(CASE, { place }))
    const effects = await desk.handle(tap(post(), { place }))
    expect(effects.outbound[0]).toMatchObject({ kind: 'consult-card', place: { ...PLACE } })
    expect(effects.outbound[0]?.place.thread).toBeUndefined()
  })

  it.each([
    ['a colleague', { by: CORNEA }, 'belongs to the colleague who typed the case'],
    ['another channel', { place: { ...PLACE, channel: 'C2' } }, 'belongs to another channel'],
    ['another workspace', { place: { ...PLACE, workspace: 'T2' } }, 'belongs to another channel'],
  ])('is refused to %s', async (_who, changes, words) => {
    const desk = deskInMemory()
    await desk.handle(text(CASE))
    for (const does of [post(), correct(), cancel()]) {
      const effects = await desk.handle(tap(does, changes))
      expect(effects.events).toEqual([])
      expect(effects.drafts).toEqual([])
      expect(answered(effects)).toContain(words)
      expect(answered(effects)).not.toContain('brown')
    }
  })

  it('after a week gives the text back for a fresh look', async () => {
    const desk = deskInMemory()
    await desk.handle(text(CASE))
    desk.now.at = '2026-03-09T18:00:00.001Z'
    const effects = await desk.handle(tap(post()))
    expect(effects.events).toEqual([])
    expect(answered(effects)).toContain('This preview is from 2026-03-02')
    expect(answered(effects)).toContain('brown NO 5.2')
  })

  it('that an earlier version made gives the text back', async () => {
    const desk = deskInMemory()
    await desk.handle(text(CASE))
    desk.outdate('d1')
    const effects = await desk.handle(tap(post()))
    expect(effects.events).toEqual([])
    expect(answered(effects)).toContain('earlier version')
    expect(answered(effects)).toContain('brown NO 5.2')
    expect(answered(await desk.handle(tap(correct())))).toContain('brown NO 5.2')
  })

  it('that is not known says what to do', async () => {
    expect(answered(await deskInMemory().handle(tap(post('nowhere'))))).toContain('Send the case again')
  })
})

describe('correcting a draft', () => {
  it('gives the whole text back and sets the preview aside', async () => {
    const desk = deskInMemory()
    await desk.handle(text(CASE))
    const effects = await desk.handle(tap(correct()))
    expect(answerCard(effects)?.first).toContainEqual({ kind: 'line', text: CASE, weight: 'plain' })
    expect(answered(await desk.handle(tap(post())))).toContain('set aside for correction')
    expect(answerCard(await desk.handle(tap(correct())))?.first).toContainEqual({ kind: 'line', text: CASE, weight: 'plain' })
  })

  it('typed with the case again shows the new one and sets the old one aside', async () => {
    const desk = deskInMemory()
    await desk.handle(text(CASE))
    const effects = await desk.handle(text('correct: LE AL 29.61'))
    expect(effects.drafts).toMatchObject([
      { change: 'corrected', id: 'd1' },
      { change: 'put', draft: { id: 'd2', text: 'LE AL 29.61' } },
    ])
  })
})

describe('cancelling a draft', () => {
  it('posts nothing and keeps nothing', async () => {
    const desk = deskInMemory()
    await desk.handle(text(CASE))
    expect((await desk.handle(tap(cancel()))).drafts).toEqual([{ change: 'cancelled', id: 'd1' }])
    expect(answered(await desk.handle(tap(post())))).toContain('was cancelled')
    expect((await desk.handle(tap(cancel()))).drafts).toEqual([])
  })

  it('is too late once it was posted', async () => {
    const desk = deskInMemory()
    await desk.handle(text(CASE))
    await desk.handle(tap(post()))
    expect(answered(await desk.handle(tap(cancel())))).toContain('put to the team as MARSH-7')
  })
})

describe('the typed forms of the buttons', () => {
  it('mean the newest preview of that person in that channel', async () => {
    const desk = deskInMemory()
    await desk.handle(text(CASE))
    await desk.handle(text('LE AL 30.10'))
    await desk.handle(text('RE AL 22.10', { by: CORNEA }))
    expect((await desk.handle(text('post'))).drafts).toEqual([{ change: 'posted', id: 'd2', ref: 'MARSH-7' }])
    expect((await desk.handle(text('Cancel.'))).drafts).toEqual([{ change: 'cancelled', id: 'd1' }])
    expect(answered(await desk.handle(text('post')))).toContain('no preview of yours')
  })
})
