import { describe, expect, it } from 'vitest'
import { type Orderable, orderPrecautions } from '../../src/precautions/order.js'

const finding = (id: string, change: Partial<Orderable> = {}): Orderable => ({
  id,
  indicator: 'critical',
  step: 'nucleus',
  finding: 'fires',
  place: 'eye',
  harm: 2,
  changeableBefore: false,
  missingFacts: [],
  ...change,
})
const ids = (cautions: readonly { readonly precaution: Orderable }[]) => cautions.map(({ precaution }) => precaution.id)

describe('precautions in order', () => {
  it('ranks the critical ones by harm, then by what can still be changed, then by step', () => {
    const { critical } = orderPrecautions([
      finding('late', { step: 'closure' }),
      finding('early', { step: 'biometry' }),
      finding('changeable', { changeableBefore: true, step: 'aftercare' }),
      finding('gravest', { harm: 1 }),
    ])
    expect(ids(critical)).toEqual(['gravest', 'changeable', 'early', 'late'])
  })

  it('shows five critical ones and keeps the rest to be counted', () => {
    const { critical, furtherCritical } = orderPrecautions(['a', 'b', 'c', 'd', 'e', 'f', 'g'].map((id) => finding(id)))
    expect(ids(critical)).toEqual(['a', 'b', 'c', 'd', 'e'])
    expect(ids(furtherCritical)).toEqual(['f', 'g'])
  })

  it('puts the others by step, warnings before information', () => {
    const { bySteps } = orderPrecautions([
      finding('later', { indicator: 'warning', step: 'lens' }),
      finding('told', { indicator: 'info', step: 'incision' }),
      finding('warned', { indicator: 'warning', step: 'incision', harm: 5 }),
    ])
    expect(bySteps.map(({ step, cautions }) => [step, ids(cautions)])).toEqual([
      ['incision', ['warned', 'told']],
      ['lens', ['later']],
    ])
  })

  it('says the same advice once, by its gravest precaution, and names the others', () => {
    const { critical, bySteps } = orderPrecautions([
      finding('mild', { indicator: 'info', advice: 'needle-block' }),
      finding('grave', { advice: 'needle-block' }),
    ])
    expect(critical).toMatchObject([{ precaution: { id: 'grave' }, alsoFrom: [{ id: 'mild' }] }])
    expect(bySteps).toEqual([])
  })

  it('never puts the checklist among the cautions of this eye', () => {
    const ordered = orderPrecautions([
      finding('count', { place: 'checklist', step: 'lens' }),
      finding('name', { place: 'checklist', step: 'consent' }),
    ])
    expect(ordered.critical).toEqual([])
    expect(ordered.checklist.map(({ id }) => id)).toEqual(['name', 'count'])
  })

  it('asks what cannot be decided, gravest first, but not for advice that is given anyway', () => {
    const { toAsk } = orderPrecautions([
      finding('given', { advice: 'b-scan' }),
      finding('needless', { finding: 'unknown', advice: 'b-scan', missingFacts: ['bScan'] }),
      finding('small', { finding: 'unknown', indicator: 'info', missingFacts: ['periphery'] }),
      finding('large', { finding: 'unknown', harm: 1, missingFacts: ['macula'] }),
    ])
    expect(ids(toAsk)).toEqual(['large', 'small'])
  })

  it('asks once for what the same facts would decide', () => {
    const { toAsk } = orderPrecautions([
      finding('lattice', { finding: 'unknown', indicator: 'info', missingFacts: ['periphery'] }),
      finding('tear', { finding: 'unknown', missingFacts: ['periphery'] }),
      finding('floaters', { finding: 'unknown', missingFacts: ['newFloaters', 'periphery'] }),
    ])
    expect(toAsk.map(({ precaution, alsoFrom }) => [precaution.id, alsoFrom.map(({ id }) => id)])).toEqual([
      ['floaters', []],
      ['tear', ['lattice']],
    ])
  })

  it('says nothing of what is quiet', () => {
    expect(orderPrecautions([finding('quiet', { finding: 'quiet' })])).toEqual({
      critical: [],
      furtherCritical: [],
      bySteps: [],
      toAsk: [],
      checklist: [],
    })
  })

  it('does not depend on the order in which the findings come', () => {
    const findings = ['c', 'a', 'd', 'b'].map((id) => finding(id, { advice: id < 'c' ? 'same' : undefined }))
    expect(orderPrecautions(findings)).toEqual(orderPrecautions(findings.toReversed()))
  })
})
