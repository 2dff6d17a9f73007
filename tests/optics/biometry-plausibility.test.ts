import { describe, expect, it } from 'vitest'
import { type Biometry, plausibilityOf, RECHECK_LIMITS } from '../../src/optics/biometry-plausibility.js'
import { dioptres, mm } from '../../src/terms/units.js'

const ORDINARY: Biometry = {
  axialLength: mm(23.5),
  keratometry: dioptres(43.5),
  cornealAstigmatism: dioptres(1),
  fellowAxialLength: mm(23.6),
  fellowKeratometry: dioptres(43.4),
  method: 'optical',
  denseLens: false,
  anteriorChamberDepthFrom: 'epithelium',
  keratometricIndex: 1.3375,
  ageMonths: 2,
}

const findings = (over: Biometry = {}) => plausibilityOf({ ...ORDINARY, ...over })
const toConfirm = (over: Biometry = {}) =>
  findings(over)
    .filter(({ finding }) => finding === 'confirm')
    .map(({ id }) => id)

describe('plausibility of biometry', () => {
  it('finds nothing to confirm in an ordinary eye', () => {
    expect(findings().every(({ finding }) => finding === 'within')).toBe(true)
  })

  it('says unknown, never within, for what was not given', () => {
    const nothing = plausibilityOf({})
    expect(nothing.map(({ finding }) => finding)).toEqual(nothing.map(() => 'unknown'))
    expect(nothing.length).toBe(RECHECK_LIMITS.length + 1)
  })

  it.each([
    [{ axialLength: mm(21.2), fellowAxialLength: mm(21.2) }, ['screening-axial-length']],
    [{ axialLength: mm(21.19), fellowAxialLength: mm(21.2) }, ['national-axial-length', 'screening-axial-length']],
    [{ keratometry: dioptres(47.1), fellowKeratometry: dioptres(47.1) }, ['national-keratometry', 'screening-keratometry']],
    [{ cornealAstigmatism: dioptres(2.6) }, ['national-astigmatism']],
    [{ fellowAxialLength: mm(24.2) }, ['screening-length-between-eyes']],
    [{ fellowAxialLength: mm(24.21) }, ['national-length-between-eyes', 'screening-length-between-eyes']],
    [{ fellowKeratometry: dioptres(44.6) }, ['national-keratometry-between-eyes', 'screening-keratometry-between-eyes']],
    [{ ageMonths: 25 }, ['age-of-biometry']],
    [{ denseLens: true }, ['method-against-lens']],
    [{ method: 'contact' as const }, ['method-against-lens']],
    [{ anteriorChamberDepthFrom: 'endothelium' as const }, ['depth-definition']],
    [{ keratometricIndex: 1.332 }, ['keratometric-index']],
  ])('asks to confirm %j', (over, expected) => {
    expect(toConfirm(over)).toEqual(expected)
  })

  it('asks a long eye to be confirmed, with what to do, and blocks nothing', () => {
    const long = findings({ axialLength: mm(31), fellowAxialLength: mm(28.5) })
    expect(long[0]).toMatchObject({ id: 'long-eye', finding: 'confirm', words: expect.stringContaining('B-scan') })
    expect(long.find(({ id }) => id === 'long-eyes-differ')).toMatchObject({
      finding: 'within',
      words: expect.stringContaining('not unusual'),
    })
  })

  it('finds a difference beyond 4 mm unusual even in long eyes', () => {
    expect(toConfirm({ axialLength: mm(31), fellowAxialLength: mm(26.5) })).toContain('long-eyes-differ')
  })

  it('gives every finding a source', () => {
    expect(findings({ axialLength: mm(31) }).every(({ source }) => source.cite.length > 10)).toBe(true)
  })
})
