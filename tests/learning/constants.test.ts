import { describe, expect, it } from 'vitest'
import type { AXIAL_LENGTH_METHODS } from '../../src/case/case.js'
import { groupByLens, type LensGroup, predictedWith } from '../../src/learning/eyes-for-constants.js'
import { proposeHaigis } from '../../src/learning/haigis-constants.js'
import type { ImplantedEye } from '../../src/learning/lesson.js'
import { proposeConstant } from '../../src/learning/single-constant.js'
import { meanOf, standardDeviation } from '../../src/learning/statistics.js'
import type { LensConstants } from '../../src/optics/lens-formula.js'
import { normals, seeded } from '../../src/optics/random.js'
import type { AdjustmentId, FormulaId } from '../../src/terms/formulas.js'
import { mm } from '../../src/terms/units.js'
import { closeTo } from '../optics/close-to.js'
import { said } from '../plan/a-case.js'
import { type InventedEye, inventedEyes, lessonFrom, ordinaryCase, planOf, weeks } from './invented-series.js'

interface Truth {
  readonly formula: FormulaId
  readonly constants: LensConstants
  readonly adjustment?: AdjustmentId
  /** Standard deviation of what the formula cannot know, dioptres. */
  readonly spreadD?: number
}

interface Invented {
  readonly powerD?: number
  readonly method?: (typeof AXIAL_LENGTH_METHODS)[number]
}

const made = new Map<string, ImplantedEye>()

/** A plan is made once for each eye of these tests. */
function implantedIn(eye: InventedEye, powerD: number, method: NonNullable<Invented['method']>): ImplantedEye {
  const key = JSON.stringify([eye.axialLengthMm, eye.keratometryD, eye.depthMm, powerD, method])
  const known = made.get(key)
  if (known) return known
  const plan = planOf(ordinaryCase(eye, { axialLengthMethod: said(method) }))
  const { implanted } = lessonFrom(plan, { outcomes: [weeks(0, powerD)] })
  if (!implanted) throw new Error('this eye can be compared')
  made.set(key, implanted)
  return implanted
}

/** Eyes that end exactly where a formula with the true constants says, plus noise. */
function eyesBy(truth: Truth, eyes: readonly InventedEye[], { powerD = 21, method = 'optical' }: Invented = {}): ImplantedEye[] {
  return eyes.map((eye) => {
    const implanted = implantedIn(eye, powerD, method)
    const predicted = predictedWith(truth.formula, implanted, truth.constants, truth.adjustment ?? 'none')
    if (predicted === undefined) throw new Error('the formula holds for this eye')
    return { ...implanted, achievedD: predicted + (truth.spreadD ?? 0) * eye.noiseD }
  })
}

const groupOf = (eyes: readonly ImplantedEye[]): LensGroup => {
  const [group] = groupByLens(eyes)
  if (!group) throw new Error('there are eyes')
  return group
}

const within = inventedEyes(45, 7, { meanMm: 23.4, spreadMm: 0.5 })

describe('one constant', () => {
  it.each([
    ['srk-t', { aConstant: 119.4 }, 119.4],
    ['t2', { aConstant: 119.4 }, 119.4],
    ['holladay-1', { surgeonFactor: mm(2.1) }, 2.1],
    ['hoffer-q', { personalisedAcd: mm(5.9) }, 5.9],
    ['haigis', { haigis: { a0: mm(1.1), a1: 0.4, a2: 0.1 } }, 1.1],
  ] as const)('of %s is the true one where eyes end exactly where it says', (formula, constants, value) => {
    const proposal = proposeConstant(formula, groupOf(eyesBy({ formula, constants }, within)))
    closeTo(proposal.proposed?.value ?? Number.NaN, value, 1e-6)
    closeTo(proposal.proposed?.spreadAfterD ?? Number.NaN, 0, 1e-6)
    expect(proposal.proposed?.differs).toBe(true)
  })

  it('brings the mean error to zero, and goes up where plus lenses ended hyperopic', () => {
    const group = groupOf(eyesBy({ formula: 'srk-t', constants: { aConstant: 118.9 }, spreadD: 0.4 }, within))
    const hyperopic = { ...group, eyes: group.eyes.map((eye) => ({ ...eye, achievedD: eye.achievedD + 0.5 })) }
    const { proposed, present } = proposeConstant('srk-t', hyperopic)
    expect(present).toBe(118.9)
    expect(proposed?.value).toBeGreaterThan(118.9)
    const errors = hyperopic.eyes.map(
      (eye) => eye.achievedD - (predictedWith('srk-t', eye, { aConstant: proposed?.value }, 'none') ?? Number.NaN),
    )
    closeTo(meanOf(errors), 0, 1e-8)
    closeTo(standardDeviation(errors), proposed?.spreadAfterD ?? Number.NaN, 1e-9)
  })

  it('holds the true constant in about 95 of 100 intervals', () => {
    const draw = normals(seeded(5))
    let held = 0
    for (let round = 0; round < 40; round += 1) {
      const eyes = within.slice(0, 30).map((eye) => ({ ...eye, noiseD: draw() }))
      const truth = { formula: 'holladay-1', constants: { surgeonFactor: mm(1.8) }, spreadD: 0.4 } as const
      const { proposed } = proposeConstant('holladay-1', groupOf(eyesBy(truth, eyes)))
      if (proposed && proposed.low <= 1.8 && proposed.high >= 1.8) held += 1
    }
    expect(held).toBeGreaterThanOrEqual(34)
  })

  it('says when the present one was converted for want of the formula’s own', () => {
    const group = groupOf(eyesBy({ formula: 'srk-t', constants: { aConstant: 119 } }, within))
    expect(proposeConstant('srk-t', group).converted).toBe(false)
    expect(proposeConstant('haigis', group).converted).toBe(true)
  })

  it('is refused for too few eyes, with their number', () => {
    const proposal = proposeConstant(
      'srk-t',
      groupOf(eyesBy({ formula: 'srk-t', constants: { aConstant: 119 } }, within.slice(0, 29))),
    )
    expect(proposal.proposed).toBeUndefined()
    expect(proposal.refused).toBe('29 usable eyes; 30 are the fewest for one constant')
  })

  it('leaves out lenses between minus and plus 5 D, and says how many', () => {
    const usual = eyesBy({ formula: 'srk-t', constants: { aConstant: 119.4 } }, within)
    const weak = eyesBy({ formula: 'srk-t', constants: { aConstant: 118 } }, within.slice(0, 3), { powerD: 4.5 })
    const minus = eyesBy({ formula: 'srk-t', constants: { aConstant: 118 } }, within.slice(0, 2), { powerD: -4.5 })
    const proposal = proposeConstant('srk-t', groupOf([...usual, ...weak, ...minus]))
    closeTo(proposal.proposed?.value ?? Number.NaN, 119.4, 1e-6)
    expect(proposal.leftOut).toEqual([{ because: 'lens between −5 and +5 D', eyes: 5 }])
  })

  it('uses a long optical eye only by its adjusted length, and T2 and ultrasound not at all', () => {
    const long = inventedEyes(4, 3, { meanMm: 28, spreadMm: 0.3 })
    const usual = eyesBy({ formula: 'holladay-1', constants: { surgeonFactor: mm(1.9) } }, within)
    const adjusted = eyesBy(
      { formula: 'holladay-1', constants: { surgeonFactor: mm(1.9) }, adjustment: 'wang-koch-2011' },
      long,
      { powerD: 9 },
    )
    const both = groupOf([...usual, ...adjusted])
    const proposal = proposeConstant('holladay-1', both)
    expect(proposal.longEyes).toBe(4)
    closeTo(proposal.proposed?.value ?? Number.NaN, 1.9, 1e-6)
    expect(proposeConstant('t2', both).leftOut).toEqual([{ because: 'over 25 mm without a length adjustment for it', eyes: 4 }])

    const byUltrasound = eyesBy({ formula: 'holladay-1', constants: { surgeonFactor: mm(1.9) } }, long, {
      powerD: 9,
      method: 'immersion',
    })
    expect(proposeConstant('holladay-1', groupOf(byUltrasound))).toMatchObject({ eyes: 0, longEyes: 0 })
  })

  it('never pools two lenses, nor two ways of measuring length', () => {
    const one = eyesBy({ formula: 'srk-t', constants: { aConstant: 119 } }, within.slice(0, 5))
    const other = one.map((eye) => ({ ...eye, lensLabel: 'Invented B' }))
    const capitals = one.map((eye) => ({ ...eye, lensLabel: 'INVENTED A' }))
    const ultrasound = eyesBy({ formula: 'srk-t', constants: { aConstant: 119 } }, within.slice(0, 5), { method: 'immersion' })
    const groups = groupByLens([...one, ...other, ...capitals, ...ultrasound])
    expect(groups.map(({ lensLabel, lengthKind, eyes }) => [lensLabel, lengthKind, eyes.length])).toEqual([
      ['Invented A', 'group-index', 10],
      ['Invented B', 'group-index', 5],
      ['Invented A', 'ultrasound', 5],
    ])
  })
})

describe('three Haigis constants', () => {
  const truth = { formula: 'haigis', constants: { haigis: { a0: mm(-0.8), a1: 0.25, a2: 0.21 } } } as const
  const many = inventedEyes(230, 21).map((eye) => ({ ...eye, axialLengthMm: Math.min(eye.axialLengthMm, 25) }))

  it('are recovered from eyes that end exactly where they say', () => {
    const { proposed, eyes } = proposeHaigis(groupOf(eyesBy(truth, many)))
    expect(eyes).toBe(230)
    closeTo(proposed?.a0.value ?? Number.NaN, -0.8, 1e-6)
    closeTo(proposed?.a1.value ?? Number.NaN, 0.25, 1e-6)
    closeTo(proposed?.a2.value ?? Number.NaN, 0.21, 1e-6)
    closeTo(proposed?.meanErrorAfterD ?? Number.NaN, 0, 1e-6)
  })

  it('have intervals that hold the truth when eyes scatter', () => {
    const { proposed } = proposeHaigis(groupOf(eyesBy({ ...truth, spreadD: 0.35 }, many)))
    expect(proposed?.a1.low).toBeLessThan(0.25)
    expect(proposed?.a1.high).toBeGreaterThan(0.25)
    expect(proposed?.a2.low).toBeLessThan(0.21)
    expect(proposed?.a2.high).toBeGreaterThan(0.21)
  })

  it('are refused for 199 eyes', () => {
    expect(proposeHaigis(groupOf(eyesBy(truth, many.slice(0, 199)))).refused).toBe(
      '199 usable eyes; 200 are the fewest for three constants',
    )
  })

  it('are refused where all eyes are of nearly one length', () => {
    const alike = many.map((eye, index) => ({ ...eye, axialLengthMm: 23.5 + (index % 5) / 100 }))
    expect(proposeHaigis(groupOf(eyesBy(truth, alike))).refused).toMatch(/axial length of these eyes varies too little/)
  })

  it('leave out long eyes and eyes without a depth, and say how many', () => {
    const plan = planOf(
      ordinaryCase(many[0] ?? { axialLengthMm: 23.5, keratometryD: 43, depthMm: 3, noiseD: 0 }, {
        anteriorChamberDepthMm: undefined,
      }),
    )
    const { implanted } = lessonFrom(plan, { outcomes: [weeks(0, 21)] })
    const long = eyesBy(truth, inventedEyes(2, 4, { meanMm: 27, spreadMm: 0.2 }), { powerD: 12 })
    if (!implanted) throw new Error('this eye can be compared')
    expect(proposeHaigis(groupOf([implanted, ...long])).leftOut).toEqual([
      { because: 'anterior chamber depth not known', eyes: 1 },
      { because: 'over 25 mm: the length as measured does not hold', eyes: 2 },
    ])
  })
})
