import { describe, expect, it } from 'vitest'
import { formulaErrors, predictedBy } from '../../src/learning/formula-errors.js'
import { lessonOf, planInForce } from '../../src/learning/lesson.js'
import { evaluate } from '../../src/optics/formulas.js'
import { dioptres, mm } from '../../src/terms/units.js'
import { ASKED, at } from '../consult/invented-people.js'
import { closeTo } from '../optics/close-to.js'
import { longBrownEye, said } from '../plan/a-case.js'
import { consultOf, lessonFrom, planOf, weeks } from './invented-series.js'

const plan = planOf(longBrownEye())

describe('the error of a formula', () => {
  it('is achieved minus predicted: an eye that ends more hyperopic has a positive one', () => {
    const powerD = plan.lens.recommended?.powerD ?? Number.NaN
    const predicted = plan.lens.formulas.find(({ basis }) => basis)?.predicted.find((step) => step.powerD === powerD)
    const achievedD = (predicted?.refractionD ?? Number.NaN) + 0.75
    const error = formulaErrors(plan, powerD, achievedD).find(({ basis }) => basis)
    closeTo(error?.errorD ?? Number.NaN, 0.75, 1e-12)
  })

  it('for a power that the plan did not list is worked out from the stored row, as the formula itself would', () => {
    const row = plan.lens.formulas.find(({ formula, adjustment }) => formula === 'holladay-1' && adjustment === 'none')
    const outcome = evaluate(
      'holladay-1',
      { axialLength: mm(29.6), keratometry: dioptres(42.65) },
      { aConstant: 118.9 },
      { adjustment: 'none' },
    )
    if (!row || outcome.kind !== 'computed') throw new Error('Holladay 1 holds for this eye')
    closeTo(predictedBy(row, 1.23) ?? Number.NaN, outcome.value.refractionFor(dioptres(1.23)), 1e-5)
    expect(predictedBy({ ...row, working: undefined }, 1.23)).toBeUndefined()
  })

  it('is given for no row that was set aside then', () => {
    const counted = plan.lens.formulas.filter((row) => row.counts).length
    expect(counted).toBeLessThan(plan.lens.formulas.length)
    expect(formulaErrors(plan, 9, -1.5)).toHaveLength(counted)
  })
})

describe('what a consult teaches', () => {
  it('is nothing before an outcome, nor from a near miss', () => {
    expect(lessonOf(consultOf({}), plan)).toBeUndefined()
    expect(lessonOf(consultOf({ outcomes: [{ stage: 'near-miss', complications: [] }] }), plan)).toBeUndefined()
  })

  it.each([
    ['no refraction at four to six weeks', [{ stage: 'first-weeks', refractionD: -1, lens: { powerD: 9 } }]],
    ['the implanted lens was not recorded', [{ stage: 'four-to-six-weeks', refractionD: -1 }]],
    [
      'a complication moved or changed the lens',
      [{ stage: 'four-to-six-weeks', refractionD: -1, lens: { powerD: 9 }, complications: ['posterior-capsule-rupture'] }],
    ],
  ] as const)('says why it compares no refraction: %s', (because, outcomes) => {
    const lesson = lessonFrom(plan, {
      outcomes: outcomes.map((outcome) => ({
        ...outcome,
        complications: 'complications' in outcome ? [...outcome.complications] : undefined,
      })),
    })
    expect(lesson.errors).toEqual([])
    expect(lesson.notCompared).toBe(because)
  })

  it('compares no eye in which another lens was implanted than the plan computed, whatever the capitals', () => {
    const named = { ...plan, lens: { ...plan.lens, lensLabel: 'Invented A' } }
    expect(lessonFrom(named, { outcomes: [weeks(-1.5, 9, 'Invented B')] }).notCompared).toMatch(/another lens/)
    expect(lessonFrom(named, { outcomes: [weeks(-1.5, 9, 'invented a')] }).notCompared).toBeUndefined()
  })

  it('takes the lens from the operation and the refraction from the last visit at four to six weeks', () => {
    const lesson = lessonFrom(plan, {
      outcomes: [
        { stage: 'operation', on: '2026-03-10', lens: { powerD: 9, label: 'Invented A' }, complications: [] },
        { stage: 'four-to-six-weeks', refractionD: -3 },
        { stage: 'four-to-six-weeks', refractionD: -1.5 },
        { stage: 'twelve-months', refractionD: -6 },
      ],
    })
    expect(lesson.day).toBe('2026-03-10')
    expect(lesson.implanted).toMatchObject({ powerD: 9, achievedD: -1.5, lensLabel: 'Invented A' })
  })

  it('does not take silence about complications for none', () => {
    const silent = lessonFrom(plan, { outcomes: [{ stage: 'operation', on: '2026-03-10' }] })
    expect(silent.rupture).toBeUndefined()
    expect(silent.trouble).toBeUndefined()
    const whole = lessonFrom(plan, { outcomes: [{ stage: 'operation', complications: [] }] })
    expect(whole.rupture).toBe(false)
    expect(whole.trouble).toEqual({ complication: false, surprise: false })
  })

  it.each(['posterior-capsule-rupture', 'vitreous-loss', 'dropped-nucleus'] as const)('counts %s as a rupture', (one) => {
    expect(lessonFrom(plan, { outcomes: [{ stage: 'operation', complications: [one] }] }).rupture).toBe(true)
  })

  it('knows a surprise by the refraction alone', () => {
    const far = lessonFrom(plan, { outcomes: [{ ...weeks(2.5, plan.lens.recommended?.powerD ?? 9), complications: undefined }] })
    expect(far.trouble).toEqual({ complication: false, surprise: true })
  })

  it('does not call a clouded capsule a year later a complication of the operation', () => {
    const outcome = { stage: 'twelve-months', complications: ['posterior-capsule-opacification' as const] } as const
    expect(lessonFrom(plan, { outcomes: [{ ...outcome, complications: [...outcome.complications] }] }).trouble).toEqual({
      complication: false,
      surprise: false,
    })
  })

  it('expects what the plan itself showed, and says when the surgeon was not stated', () => {
    const known = lessonFrom(plan, { outcomes: [{ stage: 'operation', complications: [] }] }).expected
    const risk = plan.risks.find(({ id }) => id === 'capsule-rupture-odds-2009')
    expect(known).toMatchObject({ published: risk?.value, surgeonStated: true })
    const unknown = planOf(longBrownEye({ surgeonGrade: undefined }))
    expect(lessonFrom(unknown, { outcomes: [{ stage: 'operation', complications: [] }] }).expected?.surgeonStated).toBe(false)
  })
})

describe('the plan in force', () => {
  const revised = {
    type: 'consult-revised',
    by: ASKED.by,
    at: at(2),
    ref: 'MARSH-7',
    revision: 2,
    planHash: 'b'.repeat(64),
    words: '',
    changed: [],
  } as const

  it('is the present one, or that of the revision that was decided on', () => {
    expect(planInForce(consultOf({ events: [revised] }))).toBe('b'.repeat(64))
    const decided = {
      type: 'consult-decided',
      by: ASKED.by,
      at: at(3),
      ref: 'MARSH-7',
      revision: 1,
      decision: { planA: 'chop', operates: 'Wren', follows: [], departs: [], overrides: [] },
    } as const
    expect(planInForce(consultOf({ events: [revised, decided] }))).toBe(ASKED.planHash)
  })

  it('marks opinions that were given before the case changed', () => {
    const lesson = lessonFrom(plan, {
      opinions: ['agree'],
      events: [revised],
      outcomes: [{ stage: 'operation', complications: [] }],
    })
    expect(lesson.opinions).toEqual([{ kind: 'agree', changedAfter: true }])
  })
})

it('takes no opinion that was given when the outcome was known, but the one before it', () => {
  const late = { type: 'opinion-given', by: { ...ASKED.by, id: 'slack:T1:V0' }, at: at(9), ref: 'MARSH-7', revision: 1 } as const
  const lesson = lessonFrom(plan, {
    opinions: ['do-not-operate-on-this-plan'],
    outcomes: [{ stage: 'operation', complications: [] }],
    events: [
      { ...late, opinion: { kind: 'agree', steps: [] } },
      { ...late, by: { ...ASKED.by, id: 'slack:T1:V7' }, opinion: { kind: 'need-this-first', steps: [] } },
    ],
  })
  expect(lesson.opinions.map(({ kind }) => kind)).toEqual(['do-not-operate-on-this-plan'])
})

it('leaves out an eye whose cornea was operated on: keratometry no longer says what the formulas read', () => {
  const operated = planOf(longBrownEye({ previousRefractiveSurgery: said(true) }))
  expect(lessonFrom(operated, { outcomes: [weeks(-1.5, 9)] }).notCompared).toMatch(/refractive surgery/)
})
