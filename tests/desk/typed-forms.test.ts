import { describe, expect, it } from 'vitest'
import { opinion, typedAnswer } from '../../src/consult/typed-answer.js'
import type { Mentioned } from '../../src/desk/ports.js'
import { understand } from '../../src/intake/understand.js'
import { ASKER, CORNEA, PLACE, RETINA } from '../consult/invented-people.js'
import { inventedPlan } from '../contracts/invented-plan.js'
import { answered, deskInMemory, inThread, text } from './desk-in-memory.js'

const CASE = 'LE, AL 29.60 optical, K1 42.10@95 K2 43.20@5, staphyloma; surgery 2026-03-09\nQ: chop or manual?'
// Invented; who has spoken to the bot before. Today is Monday 2 March 2026.
const ODILE = { id: 'slack:T1:U11', name: 'Odile Finch', grade: 'consultant', field: 'cornea' }
const ADA = { id: 'slack:T1:U12', name: 'Ada Finch' }
const GROUPS = [{ name: 'Retina team', members: ['Ada Finch', RETINA.id] }]
const CHANNEL: Mentioned = { kind: 'channel', said: 'theatre', id: 'C9' }

async function previewed() {
  const desk = deskInMemory({
    understand,
    makePlan: async (given) => ({ ...inventedPlan(), case: given }),
    groups: GROUPS,
    rooms: { audienceOf: async () => 'workspace', isMember: async () => true, botIsMember: async () => true },
  })
  for (const by of [ODILE, ADA, CORNEA, RETINA])
    await desk.handle(text(`me: consultant, ${by === ODILE ? 'cornea' : 'retina'}`, { by }))
  await desk.handle(text(CASE))
  return desk
}
async function asked() {
  const desk = await previewed()
  await desk.handle(text('post'))
  const say = (said: string, by = ASKER, addressed = false) =>
    desk.handle(text(said, { by, place: inThread('MARSH-7'), addressed }))
  return { ...desk, say }
}

describe('“post” as a tired junior types it', () => {
  it.each([
    ['Post.', {}],
    ['POST ASK ODILE FINCH', { asked: ['Odile Finch'] }],
    ['post ask odile finch; Today', { asked: ['Odile Finch'], urgency: 'today' }],
    ['post: asks: Odile, Sorrel and Alder', { asked: ['Odile Finch', 'Sorrel', 'Alder'] }],
    ['post @Odile Finch', { asked: ['Odile Finch'] }],
    ['post to @Odile Finch', { asked: ['Odile Finch'] }],
    ['post it; urgent', { urgency: 'today' }],
    ['post: ask the retina team', { asked: ['Retina team'] }],
    ['post: surgery on Friday', { surgeryDate: '2026-03-06' }],
    ['post: surgery 9 March', { surgeryDate: '2026-03-09' }],
    ['post; this-week; hide until 3 have answered', { urgency: 'this-week', hideUntil: 3 }],
    ['post: hide', { hideUntil: 'asker-lifts' }],
    ['post: deputy Odile', { deputy: 'Odile Finch' }],
    ['post: in #theatre; ask Odile', { asked: ['Odile Finch'], place: { ...PLACE, channel: 'C9' } }],
    ['post, ask Maren Quill', { asked: ['Maren Quill'] }],
  ])('%j is done', async (said, expected) => {
    const desk = await previewed()
    const { events } = await desk.handle(text(said, { mentioned: [CHANNEL] }))
    expect(events).toMatchObject([{ type: 'consult-asked', ...expected }])
  })

  it.each([
    ['post: ask Finch', 'may be Odile Finch (consultant, cornea) or Ada Finch (consultant, retina). Write the whole name'],
    ['post: ask Odlie Finch', 'Did you mean Odile Finch'],
    ['post: ask', 'After “ask” stands who is asked'],
    ['post: ask Odile Finch today', 'every other part after a semicolon'],
    ['post: ask me', 'You ask yourself'],
    ['post: surgery 1 March', '“1 March” is past: today is 2 March 2026'],
    ['post: surgery 2026-02-27', 'is past'],
    ['post: surgery next week', 'is not a day. Write it like: surgery 2026-03-04'],
    ['post: surgery next Friday', 'may be 6 March 2026 or 13 March 2026. Write the one you mean: surgery 2026-03-06'],
    ['post: deputy Odile and Ada', 'One person or group stands in'],
    ['post: hide until everybody', 'Write: hide until 3, or: hide until I lift'],
    ['post: quickly please', 'Write: post: ask NAME, NAME; today'],
    ['post: in #wards', 'is not marked as a channel. Pick it from the list'],
    ['post: ask Odile; tomorrow', '“tomorrow” is not understood'],
    ['post today; surgery 32 March', 'is not a day'],
  ])('%j posts nothing and says why and what to write', async (said, words) => {
    const desk = await previewed()
    const effects = await desk.handle(text(said))
    expect([effects.events, effects.drafts]).toEqual([[], []])
    expect(answered(effects)).toContain('Nothing was posted')
    expect(answered(effects)).toContain(words)
  })

  it('keeps whom names and groups stand for, and says who cannot be told', async () => {
    const desk = await previewed()
    const effects = await desk.handle(text('post: ask Retina team, Odile, Maren Quill'))
    expect(effects.events).toMatchObject([
      {
        asked: ['Retina team', 'Odile Finch', 'Maren Quill'],
        reached: [
          { of: 'Retina team', name: 'Ada Finch', id: ADA.id },
          { of: 'Retina team', name: 'Sorrel', id: RETINA.id },
          { of: 'Odile Finch', name: 'Odile Finch', id: ODILE.id },
        ],
      },
    ])
    expect(answered(effects)).toContain('“Maren Quill” is not known here yet')
    const card = JSON.stringify(await desk.handle(text('MARSH-7')))
    expect(card).toContain('asks Retina team (0 of 2 answered), Odile Finch, Maren Quill')
    await desk.handle(text('MARSH-7 agree', { by: ADA }))
    await desk.handle(text('MARSH-7 agree but: stain', { by: ADA }))
    expect(JSON.stringify(await desk.handle(text('MARSH-7')))).toContain('Retina team (1 of 2 answered)')
    expect(JSON.stringify(await desk.handle(text('home', { by: RETINA })))).toContain('your opinion is wanted')
  })
})

describe('other words about a preview', () => {
  it('change one item of it, drop it, or say why not', async () => {
    const desk = await previewed()
    const changed = await desk.handle(text('change: AL 29.70'))
    expect(changed.drafts).toMatchObject([
      { change: 'corrected' },
      { change: 'put', draft: { case: { axialLengthMm: { value: 29.7 } } } },
    ])
    expect(answered(await desk.handle(text('Change: AL 235')))).toContain('Nothing was changed')
    expect(answered(await desk.handle(text('change: good morning')))).toContain('could not be read as an item')
    expect((await desk.handle(text('drop it'))).drafts).toMatchObject([{ change: 'cancelled' }])
    expect(answered(await desk.handle(text('change: AL 29.80')))).toContain('There is no preview of yours here')
  })

  it('typed in the personal chat on Teams mean the newest preview, whichever channel it is for', async () => {
    const desk = await previewed()
    const place = { platform: 'teams', workspace: 'tenant', channel: '19:a@thread.tacv2' } as const
    const alone = { ...place, channel: 'a:1personal' }
    await desk.handle(text(CASE, { place }))
    expect((await desk.handle(text('change: AL 29.70', { place: alone }))).drafts).toMatchObject([
      { change: 'corrected' },
      { change: 'put', draft: { place } },
    ])
    expect((await desk.handle(text('post: today', { place: alone }))).events).toMatchObject([{ place, urgency: 'today' }])
    await desk.handle(text(CASE, { place }))
    expect((await desk.handle(text('drop', { place: alone }))).drafts).toMatchObject([{ change: 'cancelled' }])
  })
})

describe('“task” as a tired junior types it', () => {
  it.each([
    ['task: B-scan @Odile Finch by Friday', { what: 'B-scan', owner: 'Odile Finch', due: '2026-03-06' }],
    ['TASK: B-scan @ODILE FINCH BY FRI', { what: 'B-scan', owner: 'Odile Finch', due: '2026-03-06' }],
    ['task : B-scan @Odile by 2026-12-01', { owner: 'Odile Finch', due: '2026-12-01' }],
    ['Task: B-scan by tomorrow @Odile', { owner: 'Odile Finch', due: '2026-03-03' }],
    ['task: B-scan @Odile Friday', { owner: 'Odile Finch', due: '2026-03-06' }],
    ['task: B-scan @Odile, by 9 March.', { owner: 'Odile Finch', due: '2026-03-09' }],
    ['task: B-scan due Thursday', { what: 'B-scan', due: '2026-03-05' }],
    ['task: B-scan @me by today', { owner: 'Wren', due: '2026-03-02' }],
    ['task: B-scan @retina team', { owner: 'Retina team' }],
    ['task: opinion by the retina team', { what: 'opinion by the retina team' }],
    ['task: stop warfarin before the list on Friday', { what: 'stop warfarin before the list on Friday' }],
    ['task: order the lens @Maren Quill', { owner: 'Maren Quill' }],
    ['task: B-scan', { what: 'B-scan' }],
  ])('%j is given', async (said, expected) => {
    const desk = await asked()
    expect((await desk.say(said)).events).toMatchObject([{ type: 'task-opened', ...expected }])
  })

  it.each([
    ['task: B-scan @Finch by Friday', 'may be Odile Finch'],
    ['task: B-scan @Odlie by Friday', 'Did you mean'],
    [
      'task: B-scan @Odile and @Ada by Friday',
      'A task has one owner, and 2 are named: Odile, Ada. Write one task for each, such as: task: B-scan @Odile',
    ],
    ['task: B-scan @Odile, Ada', 'A task has one owner'],
    ['task: B-scan @Odile by next week', '“next week” is not a day. Write it like: by 2026-03-04'],
    ['task: B-scan @Odile by next Friday', 'may be 6 March 2026 or 13 March 2026'],
    ['task: B-scan @Odile by 2026-02-27', 'is past: today is 2 March 2026'],
    ['task: B-scan @Odile by 1 March', 'is past'],
    ['task: B-scan @Odile by 32 March', 'is not a day'],
    ['task: B-scan @Odile by 1/12', 'is not a day'],
    ['task: B-scan @Odile by asap', 'is not a day'],
    ['task: @Odile by Friday', 'does not say what is to be done'],
  ])('%j gives none and says why and what to write', async (said, words) => {
    const desk = await asked()
    const effects = await desk.say(said)
    expect(effects.events).toEqual([])
    expect(answered(effects)).toContain('No task was given')
    expect(answered(effects)).toContain(words)
  })
})

describe('“give” as a tired asker types it', () => {
  it.each(['give: Odile Finch', 'GIVE: odile finch.', 'give: @Odile', 'Give : Dr Odile Finch', 'give: O. Finch'])(
    '%j gives it on',
    async (said) => {
      const desk = await asked()
      expect((await desk.say(said)).events).toMatchObject([{ type: 'consult-reassigned', to: ODILE }])
    },
  )

  it.each([
    ['give: Finch', 'may be Odile Finch'],
    ['give: Odlie Finch', 'Did you mean Odile Finch'],
    ['give: Odile and Ada', 'A consult is given to one person, and 2 are named. Write: give: NAME'],
    ['give: retina team', 'is a group, and a consult is given to one person. Write one of them: Ada Finch, Sorrel'],
    ['give: Maren Quill', 'is not known on MARSH-7'],
    ['give: Odile tomorrow', 'is not read as a name'],
    ['give: me', 'already the consult of Wren'],
  ])('%j does not, and says why', async (said, words) => {
    const desk = await asked()
    const effects = await desk.say(said)
    expect(effects.events).toEqual([])
    expect(answered(effects)).toContain(words)
  })
})

describe('a command without its colon', () => {
  it.each([
    ['task B-scan @Odile by Friday', 'task: B-scan @Odile by Friday'],
    ['give it to @Odile', 'give: Odile'],
    ['Change AL 29.70', 'change: AL 29.70'],
    ['decide A chop; operates me; lens +9.0', 'decide: A chop; operates me; lens +9.0'],
    ['outcome operation; lens +9.0', 'outcome: operation; lens +9.0'],
    ['withdraw because operated elsewhere', 'withdraw: operated elsewhere'],
    ['T1 is done', 'done T1: RESULT'],
    ['working of capsule rupture', 'working: capsule rupture'],
  ])('%j is kept as talk, and its writer is told how it is written', async (said, written) => {
    const effects = await (await asked()).say(said)
    expect(effects.events).toMatchObject([{ type: 'comment-made', text: said }])
    expect(answered(effects)).toContain(`If you meant it as a command, write: ${written}`)
  })

  it.each(['change of plan, let us chop', 'the task is done by Alder', 'outcome was good', 'I give up', 'close to the macula'])(
    '%j is plain talk, and nobody is answered',
    async (said) => {
      const effects = await (await asked()).say(said)
      expect(effects.events).toMatchObject([{ type: 'comment-made' }])
      expect(effects.outbound.map(({ kind }) => kind)).toEqual(['consult-card'])
    },
  )
})

describe('what the form of an opinion asks besides', () => {
  it('can be typed: its steps and what would change one’s mind', () => {
    expect(typedAnswer('agree but: slowly; steps: nucleus, closure; would change my mind: a loose lens')).toEqual({
      kind: 'agree-with-changes',
      steps: ['nucleus', 'closure'],
      sentence: 'slowly',
      wouldChangeMind: 'a loose lens',
    })
    expect(typedAnswer('agree. Would change my mind: if the lens is loose')).toEqual({
      kind: 'agree',
      steps: [],
      wouldChangeMind: 'if the lens is loose',
    })
    expect(opinion('agree', 'would change my mind: a loose lens')).toEqual({
      kind: 'agree',
      steps: [],
      wouldChangeMind: 'a loose lens',
    })
  })
})
