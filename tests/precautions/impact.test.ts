import { describe, expect, it } from 'vitest'
import { compileRules } from '../../src/precautions/compile.js'
import { changedFindings, tally } from '../../src/precautions/impact.js'
import { factsWith } from './arbitrary-rules.js'
import { built, NEEDLE, ruleFile, SHIPPED_FILES } from './invented-rules.js'

const PATH = 'rules/anaesthesia/needle-block-in-a-long-eye.json'

describe('what a rule change would do to a past case', () => {
  it('is a precaution lost, when its threshold is raised above the eye', async () => {
    const when = { all: [{ fact: 'axialLengthMm', operator: 'atLeast', value: 28 }, NEEDLE.when.all[1]] }
    const raised = ruleFile(PATH, { ...NEEDLE, when })
    const [before, after] = [await built(SHIPPED_FILES), await built([raised, ...SHIPPED_FILES.slice(1)])].map(compileRules)
    if (before === undefined || after === undefined) throw new Error('two rule sets are compared')
    const eye = (axialLengthMm: number) => factsWith({ axialLengthMm, anaesthesia: 'peribulbar' })
    expect(changedFindings(before, after, eye(27))).toEqual([{ id: NEEDLE.id, before: 'fires', after: 'quiet' }])
    expect(changedFindings(before, after, eye(29))).toEqual([])
  })

  it('names a rule that one of the two sets does not hold', async () => {
    const off = ruleFile('own/off.json', {
      override: NEEDLE.id,
      layer: 'Lantern Quay Eye Unit',
      off: { because: 'we give none' },
    })
    const changes = changedFindings(
      compileRules(await built(SHIPPED_FILES)),
      compileRules(await built(SHIPPED_FILES, [off])),
      factsWith({}),
    )
    expect(changes).toEqual([{ id: NEEDLE.id, before: 'unknown', after: 'absent' }])
  })
})

describe('the count over many cases', () => {
  it('tells gained from lost from otherwise changed, the most touched rule first', () => {
    const counted = tally()
    counted.add([
      { id: 'b', before: 'quiet', after: 'fires' },
      { id: 'a', before: 'fires', after: 'absent' },
    ])
    counted.add([
      { id: 'b', before: 'fires', after: 'unknown' },
      { id: 'c', before: 'unknown', after: 'absent' },
    ])
    expect(counted.touched()).toEqual([
      { id: 'b', gained: 1, lost: 1, otherwise: 0 },
      { id: 'a', gained: 0, lost: 1, otherwise: 0 },
      { id: 'c', gained: 0, lost: 0, otherwise: 1 },
    ])
  })
})
