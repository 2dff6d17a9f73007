import { describe, expect, it } from 'vitest'
import { evaluateRules } from '../../src/precautions/evaluate.js'
import { factsWith } from './arbitrary-rules.js'
import { built, CHECKLIST, faultsOf, GLAUCOMA, NEEDLE, PRESSURE_TENSION, ruleFile, SHIPPED_FILES } from './invented-rules.js'

const PATH = 'rules/anaesthesia/needle-block-in-a-long-eye.json'
const flawed = (change: Readonly<Record<string, unknown>>) => faultsOf([ruleFile(PATH, { ...NEEDLE, ...change })])
const lineOf = (text: string, part: string) => text.slice(0, text.indexOf(part)).split('\n').length

describe('a rule set', () => {
  it('is built from flawless files, checklist and tension included', async () => {
    const { precautions, tensions } = await built(SHIPPED_FILES)
    expect(precautions.map(({ id, layer }) => `${id} ${layer}`)).toEqual([
      'needle-block-in-a-long-eye shipped',
      'pressure-after-surgery shipped',
      'read-the-power-aloud shipped',
    ])
    expect(tensions).toHaveLength(1)
  })

  it('has the same version whatever the order of files and fields', async () => {
    const backwards = Object.fromEntries(Object.entries(NEEDLE).reverse())
    const files = [...SHIPPED_FILES.slice(1).reverse(), { file: PATH, text: JSON.stringify(backwards) }]
    expect((await built(files)).version).toBe((await built(SHIPPED_FILES)).version)
  })

  it('has another version as soon as one word of one rule is another', async () => {
    const changed = [ruleFile(PATH, { ...NEEDLE, why: 'Another reason.' }), ...SHIPPED_FILES.slice(1)]
    expect((await built(changed)).version).not.toBe((await built(SHIPPED_FILES)).version)
  })

  it('fires its checklist in an eye of which nothing is known', async () => {
    const { precautions } = await evaluateRules(await built(SHIPPED_FILES), factsWith({}))
    expect(precautions.map(({ id, finding }) => [id, finding])).toEqual([
      [NEEDLE.id, 'unknown'],
      [GLAUCOMA.id, 'unknown'],
      [CHECKLIST.id, 'fires'],
    ])
  })

  it('is refused when the folder is empty', async () => {
    expect(await faultsOf([])).toMatchObject([{ message: 'there is no rule file' }])
  })
})

describe('a flaw in a rule file is reported with its line and what to write instead', () => {
  it('for a misspelt fact', async () => {
    const when = { all: [{ fact: 'axialLengthMM', operator: 'atLeast', value: 26 }, NEEDLE.when.all[1]] }
    const { text } = ruleFile(PATH, { ...NEEDLE, when })
    expect(await flawed({ when })).toEqual([
      {
        file: PATH,
        line: lineOf(text, '"axialLengthMM"'),
        message: '"axialLengthMM" is not a fact that rules may speak of',
        instead: 'did you mean "axialLengthMm"?',
      },
    ])
  })

  it.each([
    ['a missing source', { sources: [] }, /sources/],
    ['a missing text', { text: undefined }, /"text" is missing/],
    ['a text that is too long', { text: `${'a'.repeat(160)}.` }, /161 characters, at most 160/],
    ['a text without an end', { text: 'Replace the needle block' }, /no end/],
    ['an unknown field', { priority: 3 }, /"priority" has no place here/],
    ['an indicator of another vocabulary', { indicator: 'high' }, /"high" cannot stand in "indicator"/],
    ['harm outside 1 to 5', { harm: 0 }, /0 cannot stand in "harm"/],
    ['an id that is not the file name', { id: 'needle' }, /stands in the file/],
    ['a theme that is not the folder', { theme: 'retina' }, /stands in the folder/],
    ['a missing question', { ask: undefined }, /"ask" is missing/],
    ['"must" on a cohort', { text: 'You must not use a needle.' }, /"must" stands on evidence/],
    ['a promise', { text: 'A blunt cannula is safe.' }, /promises too much/],
    ['a promise in the reason', { why: 'With a cannula the globe will not be reached.' }, /promises too much/],
    ['a source without year', { sources: [{ cite: 'X', sureness: 'read', supports: 'y' }] }, /no year/],
    ['a cohort without a paper', { sources: [{ cite: 'X', sureness: 'convention', supports: 'y' }] }, /common practice/],
    ['a condition that always holds', { when: { always: true } }, /only what stands in the checklist/],
    ['a checklist with a condition', { place: 'checklist' }, /holds for every operation/],
    ['a layer among the shipped rules', { layer: 'A department' }, /names no layer/],
  ])('for %s', async (_, change, message) => {
    const faults = await flawed(change)
    expect(faults.map((fault) => fault.message).join('\n')).toMatch(message)
    for (const { file, line, instead } of faults) {
      expect(file).toBe(PATH)
      expect(line).toBeGreaterThan(0)
      expect(instead).not.toBe('')
    }
  })

  const AXIAL = { fact: 'axialLengthMm', operator: 'atLeast', value: 26 }
  it.each([
    ['an empty list', { all: [] }, /at least one condition/],
    ['an empty any', { any: [] }, /at least one condition/],
    ['all and any together', { all: [AXIAL], any: [AXIAL] }, /alone/],
    ['a path into a fact', { ...AXIAL, path: '$.x' }, /"path" has no place/],
    ['a priority', { all: [AXIAL], priority: 2 }, /alone/],
    ['a named condition', { condition: 'other' }, /is not a kind of condition/],
    ['a number as text', { ...AXIAL, value: '26' }, /"26" is not a value of axialLengthMm/],
    ['a number outside the plausible range', { ...AXIAL, value: 260 }, /260 is not a value/],
    ['an operator of another kind of fact', { ...AXIAL, operator: 'is' }, /"is" cannot be asked of axialLengthMm/],
    ['an operator of the library itself', { ...AXIAL, operator: 'greaterThan' }, /cannot be asked/],
    ['a decorated operator', { ...AXIAL, operator: 'not:atLeast' }, /cannot be asked/],
    ['a band upside down', { ...AXIAL, operator: 'between', value: [30, 26] }, /30 is not below 26/],
    ['a band of one number', { ...AXIAL, operator: 'between', value: [30] }, /needs two numbers/],
    ['a list of one choice', { fact: 'zonules', operator: 'isOneOf', value: ['weak'] }, /two or more/],
    ['text instead of a list', { fact: 'zonules', operator: 'isOneOf', value: 'weak,normal' }, /two or more/],
    ['a choice that does not exist', { fact: 'zonules', operator: 'is', value: 'loose' }, /"loose" is not a value of zonules/],
    ['yes instead of true', { fact: 'glaucoma', operator: 'is', value: 'yes' }, /"yes" does not answer/],
    ['what no value can satisfy', { all: [AXIAL, { ...AXIAL, operator: 'below', value: 24 }] }, /can satisfy/],
    ['what no value can refute', { any: [AXIAL, { ...AXIAL, operator: 'below', value: 28 }] }, /can refute/],
    ['a band written as two comparisons under any', { any: [AXIAL, { ...AXIAL, operator: 'below', value: 22 }] }, /can satisfy/],
    [
      'two opposite choices',
      { any: ['weak', 'normal'].map((value) => ({ fact: 'zonules', operator: 'is', value })) },
      /can satisfy/,
    ],
    ['what every value satisfies', { ...AXIAL, value: 14 }, /holds for every possible axial length/],
    ['what no value satisfies', { ...AXIAL, operator: 'below', value: 14 }, /holds for no possible axial length/],
    ['known and not known at once', { all: [{ ...AXIAL, operator: 'isKnown', value: false }, AXIAL] }, /never fire/],
    ['no condition', 'long eye', /not a condition/],
  ])('for a condition: %s', async (_, when, message) => {
    const faults = await flawed({ when })
    expect(faults.map((fault) => fault.message).join('\n')).toMatch(message)
  })

  it.each([
    ['fires', { axialLengthMm: 23 }, 'quiet'],
    ['quiet', { axialLengthMm: 29.6 }, 'unknown'],
    ['unknown', { axialLengthMm: 29.6, anaesthesia: 'peribulbar' }, 'fires'],
  ])('for an example that is not what it is said to be: %s', async (claimed, facts, found) => {
    const faults = await flawed({ examples: { ...NEEDLE.examples, [claimed]: [facts] } })
    expect(faults.map(({ message }) => message)).toEqual([`this example is said to be "${claimed}", but is "${found}"`])
  })

  it.each(['quiet', 'unknown'])('for a rule without an example that is %s', async (kind) => {
    const { [kind as 'quiet']: _, ...examples } = NEEDLE.examples
    expect(await flawed({ examples })).toHaveLength(1)
  })

  it('for an example that names a fact or a value that does not exist', async () => {
    const fires = [{ ...NEEDLE.examples.fires[0], anesthesia: 'topical', lensThicknessMm: 49 }]
    const faults = await flawed({ examples: { ...NEEDLE.examples, fires } })
    expect(faults.map(({ message }) => message)).toEqual([
      '"anesthesia" is not a fact that rules may speak of',
      '49 is not a value of lensThicknessMm (lens thickness)',
    ])
  })

  it('for broken JSON, for a field given twice, and for a file that is no JSON', async () => {
    const faults = await faultsOf([
      { file: 'rules/retina/a.json', text: '{\n  "id": "a",\n}' },
      { file: 'rules/retina/b.json', text: '{\n  "id": "b",\n  "id": "c"\n}' },
      { file: 'rules/retina/c.json.txt', text: '{}' },
    ])
    expect(faults.map(({ file, line, message }) => [file, line, message])).toEqual([
      ['rules/retina/a.json', 3, 'a field name in double quotes is expected here'],
      ['rules/retina/b.json', 3, '"id" is given twice'],
      ['rules/retina/c.json.txt', 1, 'this is not a rule file'],
    ])
  })

  it('for two rules with one id, and for two that ask the same at the same step in another order', async () => {
    const twin = { ...NEEDLE, id: 'twin', when: { all: NEEDLE.when.all.toReversed() } }
    const faults = await faultsOf([ruleFile(PATH, NEEDLE), ruleFile(PATH, NEEDLE), ruleFile('rules/anaesthesia/twin.json', twin)])
    expect(faults.map(({ message }) => message)).toEqual([
      expect.stringContaining('the id stands in'),
      expect.stringContaining('the same condition at the same step'),
      expect.stringContaining('the same condition at the same step'),
    ])
  })

  it('for a tension that names a precaution nobody wrote, or whose side holds always', async () => {
    const [low, high] = PRESSURE_TENSION.sides
    const sides = [{ ...low, precautions: ['needle-block-in-a-lng-eye'] }, high]
    const path = 'rules/tensions/low-pressure-or-a-stable-chamber.json'
    expect(await faultsOf([ruleFile(PATH, NEEDLE), ruleFile(path, { ...PRESSURE_TENSION, sides })])).toMatchObject([
      { message: 'there is no precaution "needle-block-in-a-lng-eye"', instead: `did you mean "${NEEDLE.id}"?` },
    ])
    const always = { ...PRESSURE_TENSION, sides: [low, { ...high, when: { always: true } }] }
    expect(await faultsOf([ruleFile(PATH, NEEDLE), ruleFile(path, always)])).toMatchObject([
      { message: 'a side of a tension cannot hold always' },
    ])
  })

  it('for every flaw at once: one never hides another', async () => {
    expect(await flawed({ harm: 9, text: undefined, indicator: 'high', when: { all: [] } })).toHaveLength(4)
  })
})

describe('a department', () => {
  const layer = 'Lantern Quay Eye Unit'
  const own = (name: string, content: unknown) => ruleFile(`own/${name}.json`, content)

  it('changes severity and wording, is named as the one who speaks, and leaves the shipped rule as it is', async () => {
    const change = own('needle', { override: NEEDLE.id, layer, indicator: 'warning', text: 'Prefer a cannula.' })
    const changed = await built(SHIPPED_FILES, [change])
    expect(changed.precautions[0]).toMatchObject({ indicator: 'warning', text: 'Prefer a cannula.', layer, why: NEEDLE.why })
    const shipped = await built(SHIPPED_FILES)
    expect(shipped.precautions[0]).toMatchObject({ indicator: 'critical', text: NEEDLE.text, layer: 'shipped' })
    expect(changed.version).not.toBe(shipped.version)
  })

  it('switches a rule off with a reason, and the set keeps the reason', async () => {
    const because = 'we give no needle blocks'
    const { precautions, switchedOff } = await built(SHIPPED_FILES, [
      own('off', { override: NEEDLE.id, layer, off: { because } }),
    ])
    expect(precautions.map(({ id }) => id)).toEqual([GLAUCOMA.id, CHECKLIST.id])
    expect(switchedOff).toEqual([{ id: NEEDLE.id, layer, because }])
  })

  it('adds rules of its own, also in the place of one it switched off', async () => {
    const id = 'needle-block-by-our-protocol'
    const files = [
      own('off', { override: NEEDLE.id, layer, off: { because: 'we have our own' } }),
      ruleFile(`own/anaesthesia/${id}.json`, { ...NEEDLE, id, layer }),
    ]
    const { precautions } = await built(SHIPPED_FILES, files)
    expect(precautions.find((rule) => rule.id === id)).toMatchObject({ layer })
  })

  it.each([
    ['an id that is not shipped', { override: 'needle-block-in-a-long-eyes', layer, indicator: 'info' }, /no shipped precaution/],
    ['no change', { override: NEEDLE.id, layer }, /changes nothing/],
    ['no reason', { override: NEEDLE.id, layer, off: {} }, /"because" is missing/],
    ['no name', { override: NEEDLE.id, indicator: 'info' }, /"layer" is missing/],
    ['the name of the shipped layer', { override: NEEDLE.id, layer: 'shipped', indicator: 'info' }, /not a department/],
    ['a promise', { override: NEEDLE.id, layer, text: 'This is safe.' }, /promises too much/],
    ['"must" without evidence', { override: NEEDLE.id, layer, text: 'You must use a cannula.' }, /"must" stands/],
    ['wording of what is off', { override: NEEDLE.id, layer, text: 'Wait.', off: { because: 'x' } }, /switched off has no/],
    ['another trigger', { override: NEEDLE.id, layer, when: { always: true } }, /"when" has no place/],
  ])('is refused an override with %s', async (_, change, message) => {
    const faults = await faultsOf(SHIPPED_FILES, [own('change', change)])
    expect(faults.map((fault) => fault.message).join('\n')).toMatch(message)
  })

  it('is refused two overrides of one rule, and a rule under a shipped id', async () => {
    const twice = ['a', 'b'].map((name) => own(name, { override: NEEDLE.id, layer, indicator: 'info' }))
    expect(await faultsOf(SHIPPED_FILES, twice)).toMatchObject([{ message: expect.stringContaining('overridden twice') }])
    const faults = await faultsOf(SHIPPED_FILES, [ruleFile(`own/anaesthesia/${NEEDLE.id}.json`, { ...NEEDLE, layer })])
    expect(faults.map(({ message }) => message).join('\n')).toContain('the id stands in')
  })

  it('cannot hide an override among the shipped files', async () => {
    const files = [...SHIPPED_FILES, ruleFile('rules/retina/x.json', { override: NEEDLE.id, layer, indicator: 'info' })]
    expect(await faultsOf(files)).toMatchObject([{ message: 'an override among the shipped rules' }])
  })
})
