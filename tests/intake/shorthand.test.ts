import { describe, expect, it } from 'vitest'
import { caseFrom, valuesFrom } from './reading-of.js'
import { ROWS } from './shorthand-rows.js'

describe('shorthand', () => {
  it.each(ROWS)('%s', (text, values) => {
    const { notUnderstood: _, ...read } = valuesFrom(`LE. ${text}`)
    const expected = { eye: 'left', ...values }
    if ('biometryAgeMonths' in values) expect(read['biometryAgeMonths']).toBeCloseTo(Number(values['biometryAgeMonths']), 2)
    else expect(read).toEqual(expected)
    expect(caseFrom(`LE. ${text}`).problems.filter(({ blocks }) => blocks)).toEqual([])
  })

  it.each([['AL 29:60'], ['AL 29.6O'], ['AL 29.60.1'], ["AL 29'60"], ['K1 43:20 K2 44'], ['target -1:75'], ['AL 2O.6']])(
    'never takes a part of %s for the whole',
    (text) => {
      const { case: read, problems } = caseFrom(`LE. ${text}`)
      expect([read.axialLengthMm, read.keratometry, read.targetRefractionD]).toEqual([undefined, undefined, undefined])
      expect(problems.length).toBeGreaterThan(0)
    },
  )

  it.each([
    ['AL 29.6', 'mm assumed'],
    ['CCT 0.541', '541'],
    ['K1 7.80 K2 7.50', 'radius'],
    ['K 43.5', 'index 1.3375 assumed'],
    ['K 33.2 n 1.332', 'converted from index 1.332 to 1.3375'],
    ['next list 03/12/2026', 'day first: 3 December 2026'],
    ['ST5', 'read as registrar'],
    ['target-1.75', 'dash read as minus'],
    ['brown NO 5.2', 'also brown'],
    ['aged 91', '90 or over'],
    ['on warfarin, INR 2.3', 'INR 2.3 kept beside warfarin'],
    ['2.4mm', 'read as the size of the main incision'],
    ['list Thursday', 'the next such day taken: 26 November 2026'],
    ['op in 2 weeks', 'counted from today: about 8 December 2026'],
    ['target emm', 'read as a target of 0.00 D'],
    ['K 42/43; other eye AL 24.1, K 44', 'taken for the fellow eye'],
    ['other eye pseudophakic -1.50, AL 29', 'comma ended the fellow eye'],
  ])('says what was taken for granted in %s', (text, words) => {
    const read = caseFrom(`LE. ${text}`)
    expect(JSON.stringify([read.items, read.case])).toContain(words)
  })
})
