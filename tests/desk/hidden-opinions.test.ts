import { describe, expect, it } from 'vitest'
import { CORNEA, PLACE } from '../consult/invented-people.js'
import { asked } from './an-asked-consult.js'
import { answerCard, answered, inThread, tap, text } from './desk-in-memory.js'

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
