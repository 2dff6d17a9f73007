import { execFile } from 'node:child_process'
import { promisify } from 'node:util'
import fc from 'fast-check'
import { beforeAll, describe, expect, it } from 'vitest'
import { loadRuleSet } from '../../adapters/rules-folder.js'
import type { Case } from '../../src/case/case.js'
import { understand } from '../../src/intake/understand.js'
import { contentHash } from '../../src/plan/content-hash.js'
import { lensPlan } from '../../src/plan/lens-plan.js'
import { makePlan } from '../../src/plan/make-plan.js'
import { planSchema } from '../../src/plan/plan.js'
import type { RuleSet } from '../../src/precautions/rules.js'
import { putTogether } from '../tools/program.js'
import { longBrownEye, said } from './a-case.js'

let ruleSet: RuleSet
beforeAll(async () => {
  const outcome = await loadRuleSet('rules')
  if (outcome.kind === 'faults') throw new Error('the shipped rules do not load')
  ruleSet = outcome.ruleSet
})
const planOf = (known: Case) => makePlan(known, { soundings: '0.0.0', ruleSet, monteCarlo: true })

const keratometry = (meanD: number) => said({ meanD, indexGiven: 1.3375 })
const eyes = fc.record({
  axialLength: fc.double({ min: 20, max: 36, noNaN: true }),
  meanD: fc.double({ min: 38, max: 48, noNaN: true }),
  target: fc.double({ min: -4, max: 0.5, noNaN: true }),
})
const eyeOf = ({ axialLength, meanD, target }: { axialLength: number; meanD: number; target: number }) =>
  longBrownEye({ axialLengthMm: said(axialLength), keratometry: keratometry(meanD), targetRefractionD: said(target) })

describe('a whole plan', () => {
  it('is what its published schema says, with a working for each number', async () => {
    const plan = await planOf(
      longBrownEye({
        separateConstantsAsked: said(true),
        toricPlanned: said(true),
        fellow: { refractionD: said(-1.5), predictionErrorD: said(0.6) },
      }),
    )
    expect(planSchema.safeParse(plan).error).toBeUndefined()
    const { lens, risks, surgery } = plan
    expect(lens.formulas.filter((row) => row.powerForTargetD !== undefined && row.working === undefined)).toEqual([])
    expect([lens.forecast?.working, lens.toric?.working, lens.fellow?.secondEye?.working]).not.toContain(undefined)
    expect(lens.separateConstants?.pairs.every(({ working }) => working.steps.length > 0)).toBe(true)
    expect([...risks, ...surgery].filter(({ working }) => working === undefined)).toEqual([])
  })

  it('is the same to the bit for the same case, here and in another process', async () => {
    const here = contentHash(await planOf(longBrownEye()))
    expect(contentHash(await planOf(longBrownEye()))).toBe(here)
    const program = await putTogether('tests/plan/plan-hash-process.ts')
    const { stdout } = await promisify(execFile)(process.execPath, [program.file]).finally(program.remove)
    expect(stdout).toBe(here)
  })

  it('has a version of its models that is not the version of its rules', async () => {
    const { versions } = await planOf(longBrownEye())
    expect(versions.formulas).toMatch(/^[0-9a-f]{16}$/)
    expect(versions.formulas).not.toBe(versions.rules)
  })

  it('gives the right eye the lens of the left eye with the same numbers, simulation included', () => {
    fc.assert(
      fc.property(eyes, (eye) => {
        const left = lensPlan({ ...eyeOf(eye), eye: said('left') }, undefined, { monteCarlo: false })
        expect(lensPlan({ ...eyeOf(eye), eye: said('right') }, undefined, { monteCarlo: false })).toEqual(left)
      }),
      { numRuns: 60, seed: 3 },
    )
    const simulated = (eye: 'left' | 'right') =>
      lensPlan(longBrownEye({ eye: said(eye) }), undefined, { monteCarlo: true }).forecast
    expect(simulated('right')).toEqual(simulated('left'))
  })

  it('does not draw otherwise because the question is worded otherwise', () => {
    const forecast = (words: string) =>
      lensPlan(longBrownEye({ question: said(words) }), undefined, { monteCarlo: true }).forecast?.simulated
    expect(forecast('chop?')).toEqual(forecast('manual?'))
  })
})

const powersAt = (axialLength: number, meanD: number) =>
  new Map(
    lensPlan(longBrownEye({ axialLengthMm: said(axialLength), keratometry: keratometry(meanD) }), undefined).formulas.map(
      (row) => [`${row.formula} ${row.adjustment}`, row.powerForTargetD],
    ),
  )

describe('the powers of a plan', () => {
  it('fall with axial length and with keratometry, row by row', () => {
    const step = fc.record({
      axialLength: fc.double({ min: 26.9, max: 30, noNaN: true }),
      meanD: fc.double({ min: 40, max: 45, noNaN: true }),
      longer: fc.double({ min: 0.05, max: 0.5, noNaN: true }),
    })
    fc.assert(
      fc.property(step, ({ axialLength, meanD, longer }) => {
        const [here, past, steep] = [
          powersAt(axialLength, meanD),
          powersAt(axialLength + longer, meanD),
          powersAt(axialLength, meanD + longer),
        ]
        for (const [row, power] of here) {
          if (power === undefined) continue
          expect(past.get(row), `${row}, longer`).toBeLessThan(power)
          expect(steep.get(row), `${row}, steeper`).toBeLessThan(power)
        }
      }),
      { numRuns: 80, seed: 5 },
    )
  })

  it('pass through zero without a jump', () => {
    const rows = ['holladay-1 none', 'holladay-1 wang-koch-2011', 'holladay-1 wang-koch-2018'] as const
    for (const row of rows) {
      let before = powersAt(30, 43).get(row) ?? Number.NaN
      const first = before
      for (let axialLength = 30.02; axialLength < 36; axialLength += 0.02) {
        const power = powersAt(axialLength, 43).get(row) ?? Number.NaN
        expect(Math.abs(power - before), `${row} at ${axialLength.toFixed(2)} mm`).toBeLessThan(0.08)
        before = power
      }
      expect(Math.sign(first)).toBe(1)
      expect(Math.sign(before)).toBe(-1)
    }
  })

  it('are the same for keratometry in millimetres and in dioptres', () => {
    const planFrom = (cornea: string) => {
      const read = understand(`LE, AL 29.60 optical, ${cornea}, ACD 3.45, A 118.9, target -1.75`, {
        today: '2026-03-02',
        lensLabels: [],
      })
      if (read.kind !== 'case') throw new Error('not read as a case')
      return lensPlan(read.case, undefined)
    }
    const [inMm, inD] = [planFrom('K1 8.00 mm K2 7.50 mm'), planFrom('K1 42.1875 K2 45.00')]
    for (const [place, row] of inD.formulas.entries()) {
      if (row.powerForTargetD === undefined) continue
      expect(inMm.formulas[place]?.powerForTargetD).toBeCloseTo(row.powerForTargetD, 6)
    }
    expect(inMm.recommended?.powerD).toBe(inD.recommended?.powerD)
  })
})

describe('the forecast', () => {
  it('is made for the row nearest the middle, and the simulation agrees with the budget', () => {
    const { forecast, recommended, formulas } = lensPlan(longBrownEye(), undefined, { monteCarlo: true })
    const at = (row: (typeof formulas)[number]) => row.predicted.find(({ powerD }) => powerD === recommended?.powerD)?.refractionD
    const basis = formulas.filter((row) => row.basis).map((row) => at(row) ?? Number.NaN)
    const middle = (Math.min(...basis) + Math.max(...basis)) / 2
    const distances = basis.map((value) => Math.abs(value - middle))
    expect(Math.abs((forecast?.predictedD ?? Number.NaN) - middle)).toBeCloseTo(Math.min(...distances), 5)
    expect(forecast?.simulated).toMatchObject({ draws: 10_000, agrees: true })
    expect(forecast?.simulated?.withinHalf).toBeCloseTo(forecast?.unbiased.withinHalf ?? Number.NaN, 1)
  })

  it('carries the tendency of an unadjusted long eye in its chance, and says both', () => {
    const forecast = lensPlan(longBrownEye({ axialLengthMm: said(24.9), targetRefractionD: said(0) }), undefined).forecast
    expect(forecast?.adjustment).toBe('none')
    expect(forecast?.biases.length).toBe(1)
    expect(forecast?.biased?.hyperopicSurprise).toBeGreaterThan(forecast?.unbiased.hyperopicSurprise ?? 1)
  })

  it('ranks what to measure again by how much it narrows the answer, and finds a staphyloma first', () => {
    const { measureAgain = [], standardDeviationD = 0 } = lensPlan(longBrownEye(), undefined).forecast ?? {}
    expect(measureAgain[0]?.errorSource).toBe('staphyloma')
    const gains = measureAgain.map(({ narrowsD }) => narrowsD)
    expect(gains).toEqual(gains.toSorted((one, other) => other - one))
    for (const again of measureAgain) expect(again.standardDeviationD).toBeCloseTo(standardDeviationD - again.narrowsD, 9)
  })

  it('widens for a staphyloma that was not looked for, and not for one that was excluded', () => {
    const spread = (staphyloma: 'present' | 'absent' | undefined) =>
      lensPlan(longBrownEye({ staphyloma: staphyloma && said(staphyloma) }), undefined).forecast?.standardDeviationD
    expect(spread(undefined)).toBe(spread('present'))
    expect(spread('absent')).toBeLessThan(spread('present') ?? 0)
  })
})
