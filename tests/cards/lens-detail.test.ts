import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import type { Block } from '../../src/cards/card.js'
import { forecastLine, forecastSection } from '../../src/cards/forecast-section.js'
import { backupLine, lensDetailSections, orderLine } from '../../src/cards/lens-detail-sections.js'
import { workings } from '../../src/cards/working.js'
import { lensListSchema } from '../../src/case/lens-list.js'
import { biometryChecksOf } from '../../src/plan/biometry-checks.js'
import { lensPlan } from '../../src/plan/lens-plan.js'
import type { Plan } from '../../src/plan/plan.js'
import { longBrownEye, said } from '../plan/a-case.js'
import { A_PLAN } from './a-plan.js'

const LIST = lensListSchema.parse(JSON.parse(readFileSync('examples/lens-list.json', 'utf8')))

function planOf(parts: Parameters<typeof longBrownEye>[0] = {}): Plan {
  const known = longBrownEye({ lensConstants: undefined, surgeryDate: said('2026-12-14'), ...parts })
  return { ...A_PLAN, case: known, lens: lensPlan(known, LIST, { monteCarlo: true }), biometryChecks: biometryChecksOf(known) }
}
const textOf = (blocks: readonly Block[]): string => JSON.stringify(blocks)

describe('the lines for the first screen', () => {
  it('give the chance as a frequency with its model, population and years', () => {
    expect(textOf(forecastLine(planOf()))).toMatch(
      /Within 0\.50 \/ 1\.00 D.+"\d+ \/ \d+ in 100 if the adjustment holds, \d+ \/ \d+ if not; the rows are 1\.6 D apart \(first-order error budget, average eyes, 2008 and 2025\)"/,
    )
  })

  it('say of a row with a length adjustment how likely the aim is met when this eye does not need it', () => {
    const { forecast } = planOf().lens
    expect(forecast?.adjustment).not.toBe('none')
    expect(forecast?.biases[0]?.biasD).toBeLessThan(-0.5)
    expect(forecast?.biased?.withinHalf).toBeLessThan((forecast?.unbiased.withinHalf ?? 0) / 2)
  })

  it('count the known tendency into the chance, and say so', () => {
    const plan = planOf({ axialLengthMm: said(24.9) })
    expect(textOf(forecastLine(plan))).toContain('known tendency counted in')
    expect(textOf(forecastSection(plan)[0]?.blocks ?? [])).toContain('if nothing were systematically wrong')
  })

  it('say by when to order, and that it is too late with what is in stock', () => {
    expect(textOf(orderLine(planOf(), '2026-12-01T09:00:00Z'))).toContain('by 7 Dec 2026')
    const late = textOf(orderLine(planOf(), '2026-12-09T09:00:00Z'))
    expect(late).toMatch(/TOO LATE.*7 Dec 2026.*\+10\.0 D/)
  })

  it('name the backup lens with sign and fixation, or that none is known', () => {
    expect(textOf(backupLine(planOf()))).toMatch(/Quay S \+\d+\.\d D, in the sulcus/)
    const known = longBrownEye()
    expect(textOf(backupLine({ ...A_PLAN, lens: lensPlan(known, undefined) }))).toMatch(/none known/)
  })

  it('are absent where there is no lens', () => {
    const plan = planOf({ axialLengthMm: undefined })
    expect([...forecastLine(plan), ...orderLine(plan, undefined), ...backupLine(plan), ...forecastSection(plan)]).toEqual([])
  })
})

describe('what unfolds behind the lens', () => {
  it('has a part for each thing the plan holds, and none for what it does not', () => {
    const ids = (plan: Plan) => lensDetailSections(plan).map(({ id }) => id)
    expect(ids(planOf())).toEqual(['backup', 'beside', 'biometry'])
    expect(ids(planOf({ toricPlanned: said(true), separateConstantsAsked: said(true) }))).toEqual([
      'backup',
      'beside',
      'toric',
      'biometry',
      'separate-constants',
    ])
  })

  it('puts what is to be confirmed before what is within limits', () => {
    const text = textOf(lensDetailSections(planOf()).find(({ id }) => id === 'biometry')?.blocks ?? [])
    expect(text.indexOf('A long eye')).toBeGreaterThan(-1)
    expect(text.indexOf('A long eye')).toBeLessThan(text.indexOf('Within limits'))
  })

  it('says what counts most and what to measure again', () => {
    const text = textOf(forecastSection(planOf())[0]?.blocks ?? [])
    expect(text).toMatch(/What counts most/)
    expect(text).toMatch(/find the fovea by B-scan.*standard deviation/)
    expect(text).toMatch(/10,000 simulated operations/)
  })

  it('shows the working of forecast, backup and toric numbers', () => {
    const titles = workings(planOf({ toricPlanned: said(true) })).map(({ title }) => title)
    expect(titles).toEqual(expect.arrayContaining(['How sure the lens is', 'Backup lens', 'Astigmatism']))
  })
})
