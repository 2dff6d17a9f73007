import { describe, expect, it } from 'vitest'
import { type RulesPage, rulesPage } from '../../src/views/rules-page.js'

const HASH = '0123456789abcdef'.repeat(4)

const RULE: RulesPage['steps'][number]['rules'][number] = {
  id: 'needle-block-in-a-long-eye',
  theme: 'anaesthesia',
  indicator: 'critical',
  place: 'eye',
  text: 'Avoid the needle: <27 mm & more.',
  why: 'A long eye is nearer.',
  ask: 'Which anaesthesia is planned?',
  evidence: 'case-series',
  layer: 'shipped',
  when: 'axial length at least 26 mm; and planned anaesthesia: peribulbar or retrobulbar',
  sources: ['An invented paper 1999 (read in the source): 1 in 140'],
}

const PAGE: RulesPage = {
  version: HASH,
  made: '2026-03-01',
  steps: [
    {
      step: 'anaesthesia',
      rules: [
        { ...RULE, id: 'told', indicator: 'info', text: 'Told.' },
        { ...RULE, id: 'listed', place: 'checklist', text: 'Listed.', when: 'every operation' },
        RULE,
      ],
      tensions: [
        {
          id: 'drops-or-a-block',
          question: 'Drops or a block?',
          layer: 'Lantern Quay Eye Unit',
          sides: [
            { pull: 'Stay with drops.', when: 'axial length at least 26 mm', sources: ['A'] },
            { pull: 'Block the eye.', when: 'density of the nucleus: black', sources: ['B'] },
          ],
        },
      ],
    },
  ],
  switchedOff: [{ id: 'long-slot', layer: 'Lantern Quay Eye Unit', because: 'every list of ours has long slots' }],
  signOffs: [
    { who: 'A. Lead (invented)', role: 'clinical lead', when: '2026-02-27', hash: HASH },
    { who: 'Z. Former (invented)', role: 'clinical lead', when: '2025-02-27', hash: 'f'.repeat(64) },
  ],
}

const html = rulesPage(PAGE)

describe('the page of all rules', () => {
  it('says of each rule what to do, when, why, on which sources, from whom', () => {
    for (const words of [
      RULE.when,
      RULE.why,
      'Which anaesthesia is planned?',
      ...RULE.sources,
      'case series',
      'anaesthesia/needle-block-in-a-long-eye',
    ])
      expect(html).toContain(words)
    expect(html).toContain('<span class="mark">Critical</span>')
    expect(html).toContain('every operation (checklist)')
  })

  it('shows both sides of a tension with their sources, and whose it is', () => {
    for (const words of [
      'Drops or a block?',
      'Stay with drops.',
      'Block the eye.',
      'density of the nucleus: black',
      '<strong>Lantern Quay Eye Unit</strong>',
    ])
      expect(html).toContain(words)
  })

  it('puts the gravest first and the checklist last', () => {
    const places = ['rule-needle-block-in-a-long-eye', 'rule-told', 'rule-listed'].map((id) => html.indexOf(id))
    expect(places).toEqual(places.toSorted((one, other) => one - other))
  })

  it('takes text for text', () => {
    expect(html).toContain('Avoid the needle: &lt;27 mm &amp; more.')
    expect(html).not.toContain('<27 mm')
  })

  it('names what is switched off, by whom and why', () => {
    expect(html).toContain('with changes by Lantern Quay Eye Unit')
    expect(html).toContain('<code>long-slot</code>, by Lantern Quay Eye Unit, because every list of ours has long slots')
    expect(rulesPage({ ...PAGE, switchedOff: [] })).not.toContain('Switched off')
  })

  it('is signed for exactly this content, and counts approvals of other contents apart', () => {
    expect(html).toContain(`<code>${HASH}</code>`)
    expect(html).toContain('<td>A. Lead (invented)</td><td>clinical lead</td><td>2026-02-27</td><td>on record</td>')
    expect(html).not.toContain('Z. Former')
    expect(html).toContain('1 approval of other rule sets on record')
    const unsigned = rulesPage({ ...PAGE, signOffs: [] })
    expect(unsigned).toContain('Nobody has approved this rule set yet.')
    expect(unsigned.match(/<td><\/td><td><\/td><td><\/td><td><\/td>/g)).toHaveLength(3)
  })

  it('stands alone: no script, nothing fetched, and a way to print it', () => {
    expect(html).not.toMatch(/<script|<link|\bsrc=|url\(|https?:/)
    expect(html).toContain('@media print')
  })
})
