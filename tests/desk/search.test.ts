import { describe, expect, it } from 'vitest'
import type { Person, Place } from '../../src/consult/people.js'
import { currentCard } from '../../src/desk/consult-here.js'
import { handle } from '../../src/desk/handle.js'
import { isClosed } from '../../src/desk/rooms.js'
import { understand } from '../../src/intake/understand.js'
import { ASKER, CORNEA, PLACE, RETINA } from '../consult/invented-people.js'
import { inventedPlan } from '../contracts/invented-plan.js'
import { answerCard, answered, deskInMemory, inThread, text } from './desk-in-memory.js'

const DIRECT: Place = { ...PLACE, channel: 'D1' }
const CASES = [29.1, 29.2, 29.3, 29.4, 29.5, 31.2].map(
  (axialLengthMm) => `LE, AL ${axialLengthMm} optical, K1 42.10@95 K2 43.20@5, brown NO 5.2, no fundal view\nQ: chop or manual?`,
)
const WITHOUT_LENGTH = 'RE, K1 42.10@95 K2 43.20@5, brown NO 5.2\nQ: chop or manual?'

/** A desk that reads cases, with one consult a message, a minute apart: STONE-1, STONE-2 … */
async function deskWith(cases: readonly string[], place = PLACE) {
  let named = 0
  const desk = deskInMemory({
    understand,
    makePlan: async (given) => ({ ...inventedPlan(), case: given }),
    names: {
      draftId: () => `d${named}`,
      consultRef: async () => {
        named += 1
        return `STONE-${named}`
      },
    },
  })
  for (const said of cases) {
    desk.now.minute += 1
    await desk.handle(text(said, { place }))
    await desk.handle(text('post', { place }))
  }
  desk.now.minute += 1
  const find = async (said: string, by: Person = ASKER, from = PLACE) =>
    answered(await desk.handle(text(`find ${said}`, { by, place: from })))
  return { ...desk, find }
}

describe('find', () => {
  it('takes a range, and counts those of which the fact is not known', async () => {
    const { find } = await deskWith([...CASES, WITHOUT_LENGTH])
    const found = await find('AL>30')
    expect(found).toContain('STONE-6')
    expect(found).not.toContain('STONE-5')
    expect(found).toContain('One more does not state what you ask for')
    expect(await find('AL 29.15-29.35')).toMatch(/STONE-3.*STONE-2/)
    expect(await find('eye:right')).toContain('STONE-7')
    expect(await find('from:2026-03-03')).toContain('Nothing found')
  })

  it('shows one page, says of how many, and what to write for the next', async () => {
    const { find } = await deskWith(CASES)
    const first = await find('AL>29')
    expect(first).toContain('These are 1 to 5 of 6.')
    expect(first).toContain('find AL>29 page 2')
    expect(first).not.toContain('STONE-1 ')
    const second = await find('AL>29 page 2')
    expect(second).toContain('STONE-1 ')
    expect(second).toContain('This is number 6 of 6.')
    expect(second).not.toContain('page 3')
    expect(await find('AL>29 page 3')).toContain('There are only 6')
  })

  it('says of each part that was not understood what to write instead, and searches nothing', async () => {
    const { find, searches } = await deskWith(CASES)
    const refused = await find('brown step:chopping AL>')
    expect(refused).toContain('There is no such step')
    expect(refused).toContain('A number is missing after the sign')
    expect(refused).toContain('Write, for example: find step:nucleus')
    expect(searches).toEqual([])
  })

  it('shows where in the talk the words stand', async () => {
    const desk = await deskWith(CASES.slice(0, 1))
    await desk.handle(text('agree but: larger rhexis, ring ready', { by: CORNEA, place: inThread('STONE-1') }))
    expect(await desk.find('rhexis')).toContain('larger [rhexis], ring ready')
  })

  it('does not show a word of an opinion that is hidden', async () => {
    const desk = await deskWith([])
    await desk.handle(text(CASES[0] ?? ''))
    await desk.handle(text('post hide until 2'))
    await desk.handle(text('agree but: larger rhexis', { by: CORNEA, place: inThread('STONE-1') }))
    expect(await desk.find('rhexis')).not.toContain('larger')
  })

  it('filters by what came of it', async () => {
    const desk = await deskWith(CASES.slice(0, 2))
    await desk.handle(text('STONE-1 outcome: operation; lens +9.0; complications PCR'))
    expect(await desk.find('outcome:rupture')).toMatch(/STONE-1.*outcome: /)
    expect(await desk.find('outcome:missing')).not.toContain('STONE-1')
  })
})

describe('a consult of a direct message or a private channel', () => {
  it('is found and shown only there and by its own people', async () => {
    const desk = await deskWith(CASES.slice(0, 1), DIRECT)
    expect(await desk.find('AL>29', CORNEA)).toContain('Nothing found')
    expect(await desk.find('brown', CORNEA)).toContain('Nothing found')
    expect(await desk.find('AL>29', ASKER)).toContain('STONE-1')
    expect(await desk.find('AL>29', CORNEA, DIRECT)).toContain('STONE-1')
    expect(answered(await desk.handle(text('STONE-1', { by: CORNEA })))).toContain('no such consult')
    expect(answered(await desk.handle(text('STONE-1')))).toContain('Left eye')
  })

  it('is told by its id as far as that goes', () => {
    const at = (platform: Place['platform'], channel: string) => isClosed({ platform, workspace: 'T1', channel })
    expect([at('slack', 'D1'), at('slack', 'G1'), at('slack', 'C1')]).toEqual([true, true, false])
    expect(at('teams', '19:abc@thread.tacv2')).toBe(false)
    expect([at('teams', 'a:1abc'), at('teams', '19:abc@thread.v2'), at('teams', '19:a_b@unq.gbl.spaces')]).toEqual([
      true,
      true,
      true,
    ])
    expect(at('web', 'page')).toBe(false)
  })

  it('is not shown beside a case that others read', async () => {
    const desk = await deskWith(CASES.slice(0, 1), DIRECT)
    await desk.handle(text(CASES[1] ?? ''))
    await desk.handle(text('post'))
    const card = JSON.stringify(await currentCard(desk.view, 'STONE-2'))
    expect(card).toContain('no past consult near enough')
    expect(card).not.toContain('STONE-1')
  })
})

describe('the card of a consult', () => {
  it('names the past consults like it in one line, and unfolds what was decided and what came of it', async () => {
    const desk = await deskWith(CASES.slice(0, 3))
    await desk.handle(text('STONE-2 decide: A chop; operates consultant; lens +9.0'))
    const card = await currentCard(desk.view, 'STONE-3')
    expect(JSON.stringify(card?.first)).toContain('2 past consults (nearest STONE-2: ')
    const section = JSON.stringify(card?.sections.find(({ id }) => id === 'similar'))
    expect(section).toMatch(/STONE-2.*chop.*STONE-1.*no decision recorded/)
  })

  it('compares with nothing that was asked later, so that it stands as it was shown', async () => {
    const desk = await deskWith(CASES.slice(0, 2))
    expect(JSON.stringify(await currentCard(desk.view, 'STONE-1'))).not.toContain('STONE-2')
  })
})

describe('the access log', () => {
  it('notes a search with its words, a consult and a sheet with their reference, and nothing of what is refused', async () => {
    const desk = await deskWith(CASES.slice(0, 1))
    const by = { id: RETINA.id, name: RETINA.name }
    const accesses = async (said: string, place = PLACE) =>
      (await desk.handle(text(said, { by: RETINA, place }))).accesses.map(({ at: _at, ...access }) => access)
    expect(await accesses('find AL>30')).toEqual([{ by, what: 'searched', words: 'AL>30' }])
    expect(await accesses('STONE-1')).toEqual([{ by, what: 'viewed', ref: 'STONE-1' }])
    expect(await accesses('STONE-1 theatre')).toEqual([{ by, what: 'viewed', ref: 'STONE-1', words: 'theatre' }])
    expect(await accesses('STONE-9')).toEqual([])
    expect(await accesses('agree', inThread('STONE-1'))).toEqual([])
  })
})

describe('a near miss', () => {
  it('is recorded from one line', async () => {
    const desk = await deskWith(CASES.slice(0, 1))
    const { events } = await desk.handle(text('near miss: wrong lens on the tray', { place: inThread('STONE-1') }))
    expect(events).toMatchObject([{ type: 'outcome-recorded', outcome: { stage: 'near-miss', note: 'wrong lens on the tray' } }])
  })

  it('is recorded with one tap by anybody, with the words that stood beside the button', async () => {
    const desk = await deskWith(CASES.slice(0, 1))
    const tapped = async (by: Person, sentence?: string) =>
      desk.handle({
        kind: 'choice',
        does: { action: 'near-miss', ref: 'STONE-1' },
        by,
        place: PLACE,
        reply: {},
        ...(sentence === undefined ? {} : { sentence }),
      })
    const first = await tapped(CORNEA)
    expect(first.events).toMatchObject([{ type: 'outcome-recorded', by: { id: CORNEA.id }, outcome: { stage: 'near-miss' } }])
    expect(answered(first)).toContain('STONE-1 near miss: wrong lens on the tray')
    expect((await tapped(CORNEA)).events).toEqual([])
    expect((await tapped(RETINA, 'lens of the other eye opened')).events).toMatchObject([
      { outcome: { stage: 'near-miss', note: 'lens of the other eye opened' } },
    ])
  })

  it('that a colleague was overheard telling of stays talk', async () => {
    const desk = await deskWith(CASES.slice(0, 1))
    const said = text('near miss: once, on another eye', { by: CORNEA, place: inThread('STONE-1'), addressed: false })
    expect((await desk.handle(said)).events).toMatchObject([{ type: 'comment-made' }])
  })
})

describe('a consult whose plan was erased', () => {
  it.each(['theatre', 'change: AL 29.70', 'decide: A chop; operates consultant; lens +9.0'])(
    'answers %s with a sentence',
    async (said) => {
      const desk = await deskWith(CASES.slice(0, 1))
      const view = { ...desk.view, plan: async () => undefined }
      const effects = await handle(text(`STONE-1 ${said}`), view, desk.deps)
      expect(effects.events).toEqual([])
      expect(answerCard(effects)?.summary).toMatch(/erased/)
    },
  )
})
