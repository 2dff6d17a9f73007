import { describe, expect, it } from 'vitest'
import { readGround } from '../../adapters/ground.js'
import type { Card } from '../../src/cards/card.js'
import { workings } from '../../src/cards/working.js'
import { sourcesCard, workingCard } from '../../src/cards/working-card.js'
import { understand } from '../../src/intake/understand.js'
import { makePlan } from '../../src/plan/make-plan.js'
import { CORNEA } from '../consult/invented-people.js'
import { answerCard, deskInMemory, inThread, text } from './desk-in-memory.js'

const CASE = `LE 58M, AL 29.60 optical, K1 42.10@95 K2 43.20@5, ACD 3.45, LT 4.90; brown NO 5.2; ECD 2180
no fundal view, B-scan flat; target -1.75; A 118.9; registrar\n? chop or manual`

const planned = async () => {
  const read = await readGround({}, 'allowed')
  const understood = understand(CASE, { today: '2026-03-02', lensLabels: [], hasPicture: false })
  if ('faults' in read || understood.kind !== 'case') throw new Error('the case can be planned')
  return makePlan(understood.case, { ...read.ground, monteCarlo: false })
}
const plan = await planned()
const all = workings(plan)
const shown = (wanted: string): string => JSON.stringify(workingCard('MARSH-7', plan, wanted).first)

describe('the working of a number', () => {
  it('is listed with its place, and shown by that, by its words, or by the number as it stands on the card', () => {
    expect(all.length).toBeGreaterThan(5)
    const [first] = all
    expect(first?.title).toBe('SRK/T, no length adjustment')
    const list = shown('')
    expect(all.filter(({ title }) => !list.includes(title))).toEqual([])
    const own = JSON.stringify(first?.blocks)
    expect(shown('1') === own).toBe(true)
    expect(shown('SRK/T, no length adjustment') === own).toBe(true)
    // What SRK/T asks for in this eye, as it stands on its card.
    const power = plan.lens.formulas[0]?.powerForTargetD?.toFixed(2) ?? ''
    expect(shown(`+${power}`).includes(own.slice(1, -1))).toBe(true)
  })

  it('shows inputs, equation and source', () => {
    const card: Card = workingCard('MARSH-7', plan, '1')
    const said = JSON.stringify(card.first)
    for (const part of ['29.6 mm', 'Equation', 'Source: ']) expect(said).toContain(part)
  })

  it('that is not there, or may be one of many, is answered with those that are', () => {
    expect(shown('magic')).toContain('“magic” is none of the numbers')
    expect(shown('magic')).toContain('1. SRK/T')
    expect(shown('length')).toContain('may be any of')
    expect(shown('999')).toContain('is none of the numbers')
  })

  it('and every work that is cited are shown in the thread or by the reference, to whoever asks, and noted', async () => {
    const desk = deskInMemory({ understand, makePlan: async () => plan })
    await desk.handle(text(CASE))
    await desk.handle(text('post'))
    for (const said of ['working', 'Working: SRK/T', 'working: 1', 'sources', 'Sources.']) {
      const overheard = await desk.handle(text(said, { by: CORNEA, place: inThread('MARSH-7'), addressed: false }))
      expect([overheard.events, overheard.accesses.map(({ what, ref }) => [what, ref])]).toEqual([[], [['viewed', 'MARSH-7']]])
      expect(answerCard(overheard)?.first.length).toBeGreaterThan(0)
      expect(answerCard(await desk.handle(text(`MARSH-7 ${said}`, { by: CORNEA })))).toEqual(answerCard(overheard))
    }
    expect(JSON.stringify(sourcesCard('MARSH-7', plan).first)).toMatch(/\d{4};\d+/)
    const talk = await desk.handle(text('working on it', { by: CORNEA, place: inThread('MARSH-7'), addressed: false }))
    expect(talk.events).toMatchObject([{ type: 'comment-made' }])
  })
})
