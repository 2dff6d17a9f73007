import { describe, expect, it } from 'vitest'
import { figureCorrected, isCorrectable } from '../../src/learning/corrected.js'
import { findingsChanged, numbersChanged } from '../../src/learning/plan-differences.js'
import { decidedOn, modelsNamed, peopleOf, touchOf } from '../../src/learning/recall.js'
import { OPTICS_MODELS } from '../../src/optics/all.js'
import type { Plan } from '../../src/plan/plan.js'
import { RISK_MODELS } from '../../src/risk/all.js'
import { ASKED, at, RETINA } from '../consult/invented-people.js'
import { longBrownEye, said } from '../plan/a-case.js'
import { consultOf, planOf } from './invented-series.js'

const computed = planOf(longBrownEye())
const rule = (finding: Plan['precautions'][number]['finding']): Plan['precautions'][number] => ({
  id: 'long-eye-low-bottle',
  theme: 'high-myopia',
  indicator: 'critical',
  step: 'nucleus',
  finding,
  place: 'eye',
  text: 'Lower the bottle at entry.',
  why: 'The chamber of a long eye deepens under pressure.',
  ask: 'How long is the eye?',
  missingFacts: [],
  harm: 2,
  changeableBefore: true,
  layer: 'shipped',
  sources: [],
})
const plan: Plan = { ...computed, precautions: [rule('fires')] }

describe('where something wrong stood', () => {
  it('a rule: shown, asked for, or quiet', () => {
    const touch = (finding: Plan['precautions'][number]['finding']) =>
      touchOf({ ...plan, precautions: [rule(finding)] }, { kind: 'rule', id: 'long-eye-low-bottle' })
    expect(touch('fires')).toEqual({ stoodOn: ['critical precaution shown: Lower the bottle at entry.'], shown: true })
    expect(touch('unknown')).toEqual({ stoodOn: ['asked for: How long is the eye?'], shown: true })
    expect(touch('quiet').shown).toBe(false)
    expect(touchOf(plan, { kind: 'rule', id: 'another' })).toEqual({ stoodOn: [], shown: false })
  })

  it('a formula: the recommendation stood on it, with what the other rows ask for, or it stood beside', () => {
    const basis = plan.lens.formulas.find((row) => row.basis)?.formula ?? 'srk-t'
    const [sentence] = touchOf(plan, { kind: 'formula', id: basis }).stoodOn
    expect(sentence).toMatch(/^the lens recommended, [+−]\d+\.\d+ D, stood on .*; the other rows that it stood on ask for [+−]/)
    const t2 = touchOf(plan, { kind: 'formula', id: 't2' })
    expect(t2.stoodOn).toHaveLength(1)
    const haigis = touchOf(plan, { kind: 'formula', id: 'haigis' })
    expect(haigis).toEqual({ stoodOn: ['Haigis was set aside for this eye'], shown: false })
  })

  it('a number: by the model that it belongs to, whether of optics or of a risk', () => {
    const named = (text: string) => modelsNamed(text, [...OPTICS_MODELS, ...RISK_MODELS])
    expect(named('wang-koch-2011').map(({ id }) => id)).toEqual(['wang-koch-2011'])
    expect(touchOf(plan, { kind: 'coefficient', models: named('wang-koch-2011') }).stoodOn.join()).toMatch(
      /stood on 2011 length adjustment/,
    )
    const brown = named('brunescent')
    expect(brown.map(({ id }) => id)).toContain('capsule-rupture-odds-2009')
    expect(touchOf(plan, { kind: 'coefficient', models: brown }).stoodOn.join()).toMatch(/risk shown: Capsule rupture/)
    expect(named('no such number')).toEqual([])
    expect(named(' ')).toEqual([])
  })

  it('a number of SRK/T touches T2 too, which takes its optics', () => {
    const onlyT2 = { ...plan, lens: { ...plan.lens, formulas: plan.lens.formulas.filter(({ formula }) => formula === 't2') } }
    const named = modelsNamed('retinal thickness, offset', OPTICS_MODELS)
    expect(touchOf(onlyT2, { kind: 'coefficient', models: named }).shown).toBe(true)
  })

  it('a relation between constants only touches rows that lacked their own constant', () => {
    const named = modelsNamed('surgeon-factor-from-a', OPTICS_MODELS)
    expect(touchOf(plan, { kind: 'coefficient', models: named }).shown).toBe(true)
    const own = planOf(
      longBrownEye({ lensConstants: { aConstant: said(118.9), surgeonFactorMm: said(1.8), personalisedAcdMm: said(5.6) } }),
    )
    expect(touchOf(own, { kind: 'coefficient', models: named })).toEqual({ stoodOn: [], shown: false })
  })
})

describe('what would change', () => {
  it('is nothing for the same plan, and each number for another', () => {
    expect(numbersChanged(plan, plan)).toEqual([])
    const other = planOf(longBrownEye({ lensConstants: { aConstant: said(120.2) } }))
    const changes = numbersChanged(plan, other)
    expect(changes.join('\n')).toMatch(/^recommended lens [+−][\d.]+ D → [+−][\d.]+ D/)
    expect(changes.join('\n')).toMatch(/SRK\/T asks for [+−][\d.]+ D → [+−][\d.]+ D/)
    const older = numbersChanged(plan, planOf(longBrownEye({ ageYears: said(88) })))
    expect(older.join('\n')).toMatch(/Capsule rupture.* → /)
  })

  it('tells which findings come, go or turn, and nothing of rules that stay quiet', () => {
    const now = new Map([
      ['long-eye-low-bottle', 'quiet' as const],
      ['new-rule', 'fires' as const],
      ['another-new-rule', 'quiet' as const],
    ])
    expect(findingsChanged(plan, now)).toEqual(['long-eye-low-bottle: fires → quiet', 'new-rule: not shown → fires'])
    expect(findingsChanged(plan, new Map())).toEqual(['long-eye-low-bottle: fires → absent'])
  })
})

describe('whom it concerns', () => {
  const consult = consultOf({
    opinions: ['agree'],
    events: [
      { type: 'comment-made', by: RETINA, at: at(2), ref: 'MARSH-7', text: 'flat' },
      {
        type: 'consult-decided',
        by: ASKED.by,
        at: at(2),
        ref: 'MARSH-7',
        revision: 1,
        decision: {
          planA: 'chop',
          operates: 'Wren',
          lens: { powerD: plan.lens.recommended?.powerD ?? 0 },
          follows: [],
          departs: [],
          overrides: [{ precaution: 'long-eye-low-bottle', because: 'active infusion' }],
        },
      },
    ],
  })

  it('is everybody who had a part, once, with their parts', () => {
    expect(peopleOf(consult).map(({ person, parts }) => [person.name, parts])).toEqual([
      ['Wren', ['asked', 'decided']],
      ['Alder', ['gave an opinion']],
      ['Sorrel', ['wrote in the thread']],
    ])
  })

  it('says whether it was followed or overridden', () => {
    expect(decidedOn(consult, plan, { kind: 'rule', id: 'long-eye-low-bottle' })).toEqual([
      'it was decided not to follow this precaution',
    ])
    expect(decidedOn(consult, plan, { kind: 'formula', id: 'srk-t' })[0]).toMatch(/^the lens decided on is the one recommended/)
    expect(decidedOn(consultOf({}), plan, { kind: 'formula', id: 'srk-t' })).toEqual([])
  })
})

describe('a corrected number', () => {
  const risk = plan.risks.find(({ id }) => id === 'capsule-rupture-odds-2009')
  const odds = (probability: number) => probability / (1 - probability)
  const figure = (text: string) => Number(/→ (\d+(?:\.\d+)?) in 100/.exec(text)?.[1])

  it('of the odds model moves the stored figure by the ratio of the odds alone', () => {
    const used = risk?.factorsUsed.find(({ factor }) => factor === 'brunescent or white cataract')
    expect(used?.effect).toBe('odds × 2.99')
    // By hand: the odds of the figure, times 1.5 over 2.99, back to a probability.
    const moved = (odds(risk?.value ?? Number.NaN) * 1.5) / 2.99
    const [sentence = ''] = figureCorrected(plan, 'odds ratio, brunescent or white cataract', 2.99, 1.5)
    expect(Math.abs(figure(sentence) - (100 * moved) / (1 + moved))).toBeLessThan(0.51)
    const base = (odds(risk?.value ?? Number.NaN) * odds(0.0192)) / odds(0.0075)
    const [other = ''] = figureCorrected(plan, 'probability of the reference patient', 0.0075, 0.0192)
    expect(Math.abs(figure(other) - (100 * base) / (1 + base))).toBeLessThan(0.51)
  })

  it('finds each factor that a figure counts by the name that the model lists', () => {
    const { coefficients = [] } = RISK_MODELS.find(({ id }) => id === 'capsule-rupture-odds-2009') ?? {}
    const ratios = coefficients.filter(({ name }) => name.startsWith('odds ratio'))
    const moved = ratios.filter(({ name }) => figureCorrected(plan, name, 1, 2)[0]?.startsWith('capsule rupture') === true)
    expect(moved.map(({ name }) => name)).toEqual([
      'odds ratio, age under 60',
      'odds ratio, male',
      'odds ratio, brunescent or white cataract',
      'odds ratio, no fundal view or vitreous opacities',
      'odds ratio, axial length 26.0 mm or more',
      'odds ratio, surgeon registrar',
    ])
  })

  it('inside a formula cannot be put in from outside', () => {
    expect(isCorrectable('srk-t', 'length correction, per mm')).toBe(false)
    expect(isCorrectable('capsule-rupture-odds-2009', 'audit rate')).toBe(false)
  })
})
