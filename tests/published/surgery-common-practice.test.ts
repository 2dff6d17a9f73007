import { describe, expect, it } from 'vitest'
import { surgeryStatements } from '../../src/surgery/all.js'
import { bottleAtEntryFigure, ENTRY_BELOW_CM } from '../../src/surgery/bottle-at-entry.js'
import { capsularRingFigure } from '../../src/surgery/capsular-ring.js'
import { capsulorhexisFigure, capsulorhexisSize } from '../../src/surgery/capsulorhexis.js'
import { INCISION_UP_TO_MM, incisionFigure } from '../../src/surgery/incision.js'
import type { SurgeryStatement } from '../../src/terms/surgery-statement.js'
import { mm } from '../../src/terms/units.js'

/** Common practice, no source: what most surgeons would answer, held here so that a change is seen. */
const figureNamed = ({ values }: SurgeryStatement, name: string) => values.find((value) => value.name === name)

describe('common practice, no source', () => {
  it('the capsulorhexis is about 5 mm for the usual optic', () => {
    const figure = capsulorhexisFigure({ nucleusBand: 'medium' })
    expect(figureNamed(figure, 'capsulorhexis, least')).toMatchObject({ value: 5, unit: 'mm' })
    expect(figureNamed(figure, 'capsulorhexis, most')).toMatchObject({ value: 5.5, unit: 'mm' })
    expect(figure.words).toContain('common practice')
    expect(capsulorhexisFigure({ nucleusBand: 'black' }).words).toContain('towards 5.5')
    expect(capsulorhexisSize(mm(9)).kind).toBe('outside-domain')
  })

  it('the main incision is 2.8 mm or less', () => {
    expect(INCISION_UP_TO_MM).toBe(2.8)
    expect(incisionFigure({ incisionMm: 2.4 }).words).toContain('2.8 mm or less')
    expect(incisionFigure({ incisionMm: 3.2 }).words).toContain('3.2 mm is planned: wider')
  })

  it('a long eye takes the larger ring, 13 mm open and 11 mm compressed: one ring, two sizes', () => {
    for (const axialLengthMm of [26, 27.9, 29.6, 33]) {
      const figure = capsularRingFigure({ axialLengthMm })
      expect(figureNamed(figure, 'ring, open')).toMatchObject({ value: 13, unit: 'mm' })
      expect(figureNamed(figure, 'ring, compressed')).toMatchObject({ value: 11, unit: 'mm' })
      expect(figure.words).toContain('the larger one, 13 mm open, 11 mm compressed')
    }
    expect(figureNamed(capsularRingFigure({ axialLengthMm: 29.6 }), 'next larger ring, open')?.value).toBe(14.5)
    expect(capsularRingFigure({}).values).toEqual([])
  })

  it('a long eye is entered with the bottle lowered, raised once the chamber is steady', () => {
    const figure = bottleAtEntryFigure({ axialLengthMm: 29.6 })
    expect(figure.words).toContain('Enter with the bottle lowered')
    expect(figure.words).toContain('raise it once the chamber is steady')
    expect(figureNamed(figure, 'bottle at entry, below')?.value).toBe(ENTRY_BELOW_CM)
    expect(bottleAtEntryFigure({ axialLengthMm: 23, previousVitrectomy: false }).values).toEqual([])
    expect(bottleAtEntryFigure({ axialLengthMm: 23 }).words).toContain('not stated')
  })

  it('each of them says that it has no source', () => {
    const figures = surgeryStatements({ axialLengthMm: 29.6 })
    for (const id of ['capsulorhexis', 'main-incision', 'capsular-ring', 'bottle-at-entry']) {
      const figure = figures.find((each) => each.id === id)
      expect(figure?.source.sureness).toBe('convention')
      expect(figure?.source.cite).toContain('common practice, no source')
    }
  })
})
