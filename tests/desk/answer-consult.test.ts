import { describe, expect, it } from 'vitest'
import { ASKER, CORNEA, PLACE, RETINA } from '../consult/invented-people.js'
import { answerCard, answered, deskInMemory, inThread, tap, text } from './desk-in-memory.js'

/** A desk with MARSH-7 asked in it. */
async function asked(...changes: Parameters<typeof deskInMemory>) {
  const desk = deskInMemory(...changes)
  await desk.handle(text('LE AL 29.60'))
  await desk.handle(text('post'))
  return desk
}
const agree = { action: 'give-opinion', ref: 'MARSH-7', revision: 1, opinion: 'agree' } as const

describe('an opinion', () => {
  it('by a tap is recorded and brings the card up to date', async () => {
    const desk = await asked()
    const effects = await desk.handle(tap(agree, { by: CORNEA }))
    expect(effects.events).toMatchObject([{ type: 'opinion-given', by: CORNEA, opinion: { kind: 'agree', steps: [] } }])
    expect(effects.expected).toBe(1)
    expect(effects.outbound[0]).toEqual({ kind: 'consult-card', ref: 'MARSH-7', place: PLACE })
    expect(answered(effects)).toContain('Agree: recorded on MARSH-7.')
  })

  it('takes the sentence typed with the tap, and the steps it names', async () => {
    const desk = await asked()
    const does = { ...agree, opinion: 'agree-with-changes' } as const
    const effects = await desk.handle(tap(does, { by: CORNEA, sentence: ' larger rhexis ' }))
    expect(effects.events).toMatchObject([
      { opinion: { kind: 'agree-with-changes', steps: ['capsulorhexis'], sentence: 'larger rhexis' } },
    ])
  })

  it.each([
    ['in the thread, overheard', { place: inThread('MARSH-7'), addressed: false }, 'need: B-scan'],
    ['in the thread, to the bot', { place: inThread('MARSH-7') }, 'need: B-scan'],
    ['anywhere, with the reference', {}, 'MARSH-7 need: B-scan'],
    ['anywhere, with the reference in small letters', {}, 'marsh-7: need B-scan'],
  ])('typed %s counts as one', async (_where, changes, said) => {
    const desk = await asked()
    const effects = await desk.handle(text(said, { by: CORNEA, ...changes }))
    expect(effects.events).toMatchObject([
      { type: 'opinion-given', opinion: { kind: 'need-this-first', sentence: 'B-scan' } },
      // What is needed first is a task, so that it is not forgotten.
      { type: 'task-opened', task: 'T1', what: 'B-scan', from: 'opinion' },
    ])
  })

  it('carries the grade and field that the colleague stated before', async () => {
    const desk = await asked()
    const { grade: _grade, field: _field, ...nameless } = CORNEA
    expect(answered(await desk.handle(tap(agree, { by: nameless })))).toContain('me: consultant, cornea')
    await desk.handle(text('me: consultant, cornea', { by: nameless }))
    const effects = await desk.handle(text('MARSH-7 stop: detached', { by: nameless }))
    expect(effects.events).toMatchObject([{ by: { ...nameless, grade: 'consultant', field: 'cornea' } }])
    expect(answered(effects)).toContain('Your earlier answer (Agree) stays in the trail')
    expect(answered(effects)).not.toContain('me: consultant')
  })

  it('given again unchanged changes nothing', async () => {
    const desk = await asked()
    await desk.handle(tap(agree, { by: CORNEA }))
    const effects = await desk.handle(tap(agree, { by: CORNEA }))
    expect(effects.events).toEqual([])
    expect(effects.outbound).toHaveLength(1)
    expect(answered(effects)).toContain('already')
  })

  it('is refused to the asker, with the reason', async () => {
    const desk = await asked()
    const effects = await desk.handle(tap(agree))
    expect(effects.events).toEqual([])
    expect(answered(effects)).toContain('your own consult')
  })

  it('from another workspace finds no such consult', async () => {
    const desk = await asked()
    const place = { ...PLACE, workspace: 'T2' }
    for (const inbound of [
      tap(agree, { by: CORNEA, place }),
      text('MARSH-7 agree', { by: CORNEA, place }),
      text('MARSH-7', { by: CORNEA, place }),
    ]) {
      const effects = await desk.handle(inbound)
      expect(effects.events).toEqual([])
      expect(answered(effects)).toContain('There is no such consult here')
    }
  })
})

describe('talk in a consult’s thread', () => {
  it('is kept in silence when it was only overheard', async () => {
    const desk = await asked()
    const effects = await desk.handle(
      text('I do not agree with chop here', { by: RETINA, place: inThread('MARSH-7'), addressed: false }),
    )
    expect(effects.events).toMatchObject([{ type: 'comment-made', by: RETINA, text: 'I do not agree with chop here' }])
    expect(effects.outbound).toEqual([{ kind: 'consult-card', ref: 'MARSH-7', place: PLACE }])
  })

  it('is answered with how to give an opinion when it was said to the bot', async () => {
    const desk = await asked()
    const effects = await desk.handle(text('I do not agree', { by: RETINA, place: inThread('MARSH-7') }))
    expect(effects.events).toMatchObject([{ type: 'comment-made' }])
    expect(answered(effects)).toContain('agree but: …')
  })

  it('by the asker is talk even where it sounds like an opinion', async () => {
    const desk = await asked()
    const effects = await desk.handle(text('agree', { place: inThread('MARSH-7'), addressed: false }))
    expect(effects.events).toMatchObject([{ type: 'comment-made', by: ASKER, text: 'agree' }])
  })

  it('is not taken for a word about a preview', async () => {
    const desk = await asked()
    for (const said of ['correct, the B-scan is flat', 'post', 'cancel']) {
      const effects = await desk.handle(text(said, { by: RETINA, place: inThread('MARSH-7') }))
      expect(effects.events).toMatchObject([{ type: 'comment-made', text: said }])
    }
  })

  it('without words leaves no trace', async () => {
    const desk = await asked()
    const effects = await desk.handle(text(' ', { place: inThread('MARSH-7'), addressed: false }))
    expect(effects.events).toEqual([])
    expect(effects.outbound).toEqual([])
  })

  it('that is a picture is noted with what it was said to show, and its words count as well', async () => {
    const desk = await asked()
    const place = inThread('MARSH-7')
    const alone = await desk.handle(text(' ', { place, addressed: false, hasPicture: true }))
    expect(alone.events).toMatchObject([{ type: 'picture-shown', by: ASKER, said: 'nothing was said about it' }])
    const said = await desk.handle(text('B-scan from today', { by: RETINA, place, addressed: false, hasPicture: true }))
    expect(said.events).toMatchObject([{ type: 'comment-made' }, { type: 'picture-shown', said: 'B-scan from today' }])
    const opinion = await desk.handle(text('agree', { by: CORNEA, place, addressed: false, hasPicture: true }))
    expect(opinion.events).toMatchObject([{ type: 'opinion-given' }, { type: 'picture-shown', said: 'agree' }])
  })

  it('elsewhere is not kept', async () => {
    const desk = await asked()
    const effects = await desk.handle(text('agree', { by: CORNEA, place: { ...PLACE, thread: 'lunch' }, addressed: false }))
    expect(effects.events).toEqual([])
    expect(effects.outbound).toEqual([])
  })
})

describe('a reference alone', () => {
  it('shows the consult as it stands', async () => {
    const desk = await asked()
    await desk.handle(tap(agree, { by: CORNEA }))
    const card = answerCard(await desk.handle(text('marsh-7', { by: RETINA })))
    expect(card?.title).toContain('MARSH-7')
    expect(JSON.stringify(card?.first)).toContain('Alder')
    expect(card?.choices).toHaveLength(5)
  })

  it('that leads nowhere says so', async () => {
    expect(answered(await deskInMemory().handle(text('HEATH-4')))).toContain('no such consult')
  })

  it('is not seen in a case that begins with something like it', async () => {
    const desk = await asked()
    const effects = await desk.handle(text('AL-29 left eye, brown'))
    expect(effects.drafts).toMatchObject([{ change: 'put' }])
  })
})

describe('find', () => {
  it('answers with what was found within the workspace', async () => {
    const desk = await asked()
    const effects = await desk.handle(text('Find: staphyloma sub-Tenon'))
    expect(desk.searches).toEqual([
      { query: { phrases: [['staphyloma'], ['sub', 'tenon']] }, scope: { platform: 'slack', workspace: 'T1' } },
    ])
    expect(answered(effects)).toContain('MARSH-7')
    expect(answered(effects)).toContain('Left eye (OS) · +9.0 D')
  })

  it('without words says what may be asked for', async () => {
    expect(answered(await deskInMemory().handle(text('find')))).toContain('Say what to find')
  })
})

describe('me', () => {
  it('says what stands beside the opinions', async () => {
    const desk = deskInMemory()
    const by = { id: 'x', name: 'Teal' }
    expect(answered(await desk.handle(text('me', { by })))).toContain('not stated')
    expect((await desk.handle(text('Me: fellow', { by }))).people).toEqual([{ ...by, grade: 'fellow' }])
    expect(answered(await desk.handle(text('me?', { by })))).toContain('fellow')
  })

  it.each(['me: 12', `me: ${'x'.repeat(61)}`, `me: consultant, ${'x'.repeat(61)}`])('refuses %j', async (said) => {
    const effects = await deskInMemory().handle(text(said, { by: { id: 'x', name: 'Teal' } }))
    expect(effects.people).toEqual([])
    expect(answered(effects)).toContain('at most 60 characters')
  })

  it('does not swallow a message that only begins with me', async () => {
    expect((await deskInMemory().handle(text('melanoma excluded, LE AL 29'))).drafts).toHaveLength(1)
  })
})

describe('post again', () => {
  it.each([
    ['possibly-posted', ['MARSH-7']],
    ['refused', ['MARSH-7']],
    ['posted', []],
    ['waiting', []],
  ] as const)('of a card that is %s', async (standing, again) => {
    const desk = await asked()
    desk.standings.set('MARSH-7', standing)
    expect((await desk.handle(text('post again marsh-7'))).postAgain).toEqual(again)
  })

  it('is the asker’s to say', async () => {
    const desk = await asked()
    desk.standings.set('MARSH-7', 'possibly-posted')
    const effects = await desk.handle(text('post again MARSH-7', { by: CORNEA }))
    expect(effects.postAgain).toEqual([])
    expect(answered(effects)).toContain('Only Wren')
  })
})

describe('a delivery with something identifying', () => {
  const refused = (changes: object) =>
    ({
      kind: 'refused-identifiers',
      found: [{ kind: 'date-of-birth', line: 2, column: 4 }],
      by: CORNEA,
      place: PLACE,
      addressed: true,
      reply: {},
      ...changes,
    }) as Parameters<Awaited<ReturnType<typeof asked>>['handle']>[0]

  it('is answered with the kind and the place', async () => {
    const effects = await deskInMemory().handle(refused({}))
    expect(answered(effects)).toContain('line 2')
    expect(effects.drafts).toEqual([])
  })

  it('in a consult’s thread is answered though nobody spoke to the bot', async () => {
    const desk = await asked()
    expect(answered(await desk.handle(refused({ addressed: false, place: inThread('MARSH-7') })))).toContain('line 2')
  })

  it('in talk elsewhere is left alone', async () => {
    expect((await deskInMemory().handle(refused({ addressed: false }))).outbound).toEqual([])
  })
})
