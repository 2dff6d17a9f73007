import { describe, expect, it } from 'vitest'
import type { Trigger } from '../../src/precautions/condition.js'
import { triggerInWords } from '../../src/precautions/in-words.js'

describe('a condition in words', () => {
  it.each<[Trigger, string]>([
    [{ always: true }, 'every operation'],
    [{ fact: 'axialLengthMm', operator: 'atLeast', value: 26 }, 'axial length at least 26 mm'],
    [{ fact: 'recommendedPowerD', operator: 'below', value: 0 }, 'recommended lens power below 0.00 D'],
    [{ fact: 'recommendedPowerD', operator: 'atMost', value: -1.5 }, 'recommended lens power at most \u22121.50 D'],
    [
      { fact: 'plannedAnisometropiaD', operator: 'between', value: [2.5, 3] },
      'difference between target and fellow eye from 2.5 D to below 3 D',
    ],
    [
      { fact: 'anaesthesia', operator: 'isOneOf', value: ['peribulbar', 'retrobulbar'] },
      'planned anaesthesia: peribulbar or retrobulbar',
    ],
    [{ fact: 'canLieFlat', operator: 'is', value: false }, 'can lie flat: no'],
    [{ fact: 'bScan', operator: 'isKnown', value: false }, 'B-scan not known'],
    [{ not: { fact: 'glaucoma', operator: 'is', value: true } }, 'not (glaucoma: yes)'],
  ])('%j', (trigger, words) => expect(triggerInWords(trigger)).toBe(words))

  it('keeps lists within lists apart', () => {
    const words = triggerInWords({
      all: [
        { fact: 'nucleusBand', operator: 'isOneOf', value: ['very-hard', 'black'] },
        {
          any: [
            { fact: 'axialLengthMm', operator: 'atLeast', value: 26 },
            { fact: 'refractionD', operator: 'below', value: -6 },
          ],
        },
        { any: [{ fact: 'onlyEye', operator: 'is', value: true }] },
      ],
    })
    expect(words).toBe(
      'density of the nucleus: very-hard or black; and (axial length at least 26 mm; or refraction (spherical equivalent) below \u22126.00 D); and only seeing eye: yes',
    )
  })
})
