import { describe, expect, it } from 'vitest'
import { explainRules, inWords } from '../../src/precautions/explain.js'
import { FACT_NAMES } from '../../src/precautions/read-condition.js'
import { factsWith } from './arbitrary-rules.js'
import { built, NEEDLE, ruleFile, SHIPPED_FILES } from './invented-rules.js'

describe('an explanation', () => {
  it('says of each rule what was compared, with units, and what is missing', async () => {
    const ruleSet = await built(SHIPPED_FILES)
    const lines = await explainRules(ruleSet, factsWith({ axialLengthMm: 29.6, glaucoma: false }))
    expect(lines).toEqual([
      `Rule set ${ruleSet.version}`,
      '',
      `Facts known: 2 of ${FACT_NAMES.length}`,
      '  glaucoma: no',
      '  axial length: 29.6 mm',
      expect.stringMatching(/^ {2}not known: age, sex, only seeing eye, /),
      '',
      'Fires: 1',
      '',
      'read-the-power-aloud (lens, critical, shipped)',
      '  Read power and eye aloud before the lens is opened.',
      '  holds for every operation',
      '',
      'Cannot be decided: 1',
      '',
      'needle-block-in-a-long-eye (anaesthesia, critical, shipped)',
      '  Replace the needle block.',
      '  axial length 29.6 mm: at least 26 mm? yes',
      '  planned anaesthesia not known: peribulbar or retrobulbar? not known',
      '  to decide it: planned anaesthesia',
      '',
      'Tension low-pressure-or-a-stable-chamber: Which infusion pressure would you start with?',
      '  Start low: the eye is long. fires',
      '    axial length 29.6 mm: at least 26 mm? yes',
      '  Keep it high: the nucleus is hard. unknown',
      '    density of the nucleus not known: very-hard or black? not known',
      '    to decide it: density of the nucleus',
      '',
      'Quiet: 1',
      '',
      'pressure-after-surgery (aftercare, warning, shipped)',
      '  Measure the pressure on the first day.',
      '  glaucoma no: is yes? no',
    ])
  })

  it('tells only the findings that were asked for', async () => {
    const lines = await explainRules(await built(SHIPPED_FILES), factsWith({ axialLengthMm: 29.6, glaucoma: false }), ['quiet'])
    expect(lines).toContain('Quiet: 1')
    expect(lines.join('\n')).not.toMatch(/Fires|Cannot be decided|Tension|needle-block/)
  })

  it('names what a department switched off, and why', async () => {
    const off = { override: NEEDLE.id, layer: 'Lantern Quay Eye Unit', off: { because: 'we give no needle blocks' } }
    const ruleSet = await built(SHIPPED_FILES, [ruleFile('own/off.json', off)])
    expect(await explainRules(ruleSet, factsWith({}))).toContain(
      'needle-block-in-a-long-eye: switched off by Lantern Quay Eye Unit, because we give no needle blocks',
    )
  })

  it.each([
    [
      { fact: 'recommendedPowerD', given: -1.5, operator: 'between', threshold: [-5, 0], truth: true },
      'recommended lens power \u22121.50 D: from \u22125.00 D to below 0.00 D? yes',
    ],
    [
      { fact: 'endothelialCellDensityPerMm2', given: null, operator: 'isKnown', threshold: false, truth: true },
      'endothelial cell density not known: not known? yes',
    ],
    [
      { fact: 'keratometricAstigmatismD', given: 3, operator: 'above', threshold: 2.5, truth: true },
      'keratometric astigmatism 3 D: above 2.5 D? yes',
    ],
  ] as const)('puts a comparison in words, signs kept: %j', (reason, words) => expect(inWords(reason)).toBe(words))
})
