import { beforeAll, describe, expect, it } from 'vitest'
import { recordSummary } from '../../../src/cards/documents/record-summary.js'
import type { Plan } from '../../../src/plan/plan.js'
import { plainText } from '../../../src/views/plain.js'
import { DECIDED, LONG_BROWN_EYE, planOf, UNANSWERED } from './a-consult.js'

const textOf = (card: ReturnType<typeof recordSummary>): string => plainText(card, { width: 10_000 })

describe('the summary for the medical record', () => {
  let plan: Plan
  beforeAll(async () => {
    plan = await planOf(LONG_BROWN_EYE)
  })

  it('says the eye in words and code, where it was copied from, and that the chat is not the record', () => {
    const text = textOf(recordSummary(DECIDED, plan))
    expect(text).toMatch(/^Left eye \(OS\) · Summary for the record · MARSH-7/)
    expect(text).toContain('Copied from a pseudonymous consult MARSH-7. The chat is not the medical record')
  })

  it.each([
    ['the question', 'Chop, or plan a manual extraction from the start?'],
    ['the power with its sign and its target', '+9.0 D for −1.75 D'],
    ['what it leaves without length adjustment', '−2.41 to −3.31 D'],
    ['each formula with the length it used', '+9.00 D at 29.01 mm'],
    ['how the length was measured', 'Axial length measured by: optical'],
    ['an opinion with grade and field', 'Need this first · consultant, retina · Sorrel · about assessment: B-scan by us first.'],
    ['a risk with its model and population', '55,567 cataract operations'],
    ['plan B', 'Plan B: Manual extraction through a scleral tunnel'],
    ['the trigger', 'the nucleus does not split after 90 s of ultrasound'],
    ['why a critical precaution is set aside', 'covered by plan B'],
    ['an open task with owner and day', 'Open: T1 B-scan by the retina team · Sorrel · by 6 Mar 2026'],
    ['a task done with its result', 'T2 cell count again · Wren · done: 2,150'],
    ['the outcome', 'Operation · lens +9.0 D · no complication · not converted'],
    ['that the talk is longer', '1 comment in the thread'],
    ['the rules by their version', 'rules '],
  ])('holds %s', (_what, words) => expect(textOf(recordSummary(DECIDED, plan))).toContain(words))

  it('names a precaution that is set aside by its text, not by its id', () => {
    const text = textOf(recordSummary(DECIDED, plan))
    expect(text).toContain('Sets aside “If the pupil snaps')
    expect(text).not.toContain('pupil-snap')
  })

  it('says an age of 90 or more only as such', async () => {
    const old = await planOf(LONG_BROWN_EYE.replace('58M', '93M'))
    const text = textOf(recordSummary(UNANSWERED, old))
    expect(text).toContain('Age: 90 or over')
    expect(text).not.toMatch(/\b93\b/)
  })

  it('says what is missing instead of leaving it out', () => {
    const text = textOf(recordSummary(UNANSWERED, plan))
    for (const words of ['NO SENIOR HAS REPLIED', 'No decision is recorded.', 'none recorded yet', 'Nobody has answered'])
      expect(text).toContain(words)
  })

  it('keeps opinions back while they are hidden from the team, and says how many there are', () => {
    const text = textOf(recordSummary({ ...DECIDED, status: 'asked', asking: { hideUntil: 'asker-lifts' } }, plan))
    expect(text).toContain('2 given, kept back')
    expect(text).not.toContain('B-scan by us first.')
  })

  it('says that a decision was made on an older revision', () =>
    expect(textOf(recordSummary({ ...DECIDED, revision: 2 }, plan))).toContain(
      'DECIDED ON REVISION 1; the case is at revision 2 now',
    ))

  it('asks nothing and can press nothing', () => {
    const card = recordSummary(DECIDED, plan)
    expect(card.choices).toEqual([])
    expect(card.summary.length).toBeLessThanOrEqual(140)
  })
})
