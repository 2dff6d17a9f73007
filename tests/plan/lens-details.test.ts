import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { type LensList, lensListSchema } from '../../src/case/lens-list.js'
import { biometryChecksOf } from '../../src/plan/biometry-checks.js'
import { lensPlan } from '../../src/plan/lens-plan.js'
import { isTooLate, orderBy } from '../../src/plan/order-lens.js'
import { longBrownEye, said } from './a-case.js'

const LIST = lensListSchema.parse(JSON.parse(readFileSync('examples/lens-list.json', 'utf8')))
const fromList = (parts: Parameters<typeof longBrownEye>[0] = {}) => longBrownEye({ lensConstants: undefined, ...parts })
const changed = (parts: Partial<LensList>) => lensListSchema.safeParse({ ...LIST, ...parts })
const mean = (meanD: number) => said({ meanD, indexGiven: 1.3375 })

describe('the backup lens', () => {
  it('comes from its own constants and fixation, whenever the main lens does', () => {
    const plan = lensPlan(fromList(), LIST)
    const alone = lensPlan(fromList({ lensLabel: said('Quay S') }), LIST)
    expect(plan.backup).toMatchObject({ label: 'Quay S', fixation: 'sulcus' })
    expect(plan.backup?.lens?.powerD).toBe(alone.recommended?.powerD)
    expect(plan.backup?.lens?.leaves.highD).toBeLessThan(-1.75 + 0.005)
    expect(plan.backup?.working?.steps.length).toBeGreaterThan(0)
  })

  it('may have a minus power', () => {
    const { backup } = lensPlan(fromList({ axialLengthMm: said(34), keratometry: mean(44), targetRefractionD: said(-0.5) }), LIST)
    expect(backup?.lens?.powerD).toBeLessThan(0)
    expect(backup?.prepare).toContain('\u2212')
  })

  it('is said to be missing without a list, with what to prepare, and no power is made up', () => {
    const { backup } = lensPlan(longBrownEye(), undefined)
    expect(backup?.lens).toBeUndefined()
    expect(backup?.missing).toMatch(/not derived/)
    expect(backup?.prepare).toMatch(/without a capsule/)
  })

  it('is refused in a list when it is fixed in the bag or not in the list', () => {
    expect(changed({ backupLens: 'Quay A' }).error?.issues[0]?.message).toMatch(/fixed in the bag/)
    expect(changed({ backupLens: 'Quay Z' }).error?.issues[0]?.message).toMatch(/label in lenses/)
  })
})

describe('ordering', () => {
  it.each([
    ['2026-12-14', 5, '2026-12-07'],
    ['2026-12-18', 5, '2026-12-11'],
    ['2026-12-16', 0, '2026-12-16'],
    ['2026-12-13', 0, '2026-12-11'],
    ['2026-03-02', 15, '2026-02-09'],
    ['2028-03-01', 1, '2028-02-29'],
  ])('for surgery on %s with %i working days must be done by %s, weekends not counted', (surgery, days, by) => {
    expect(orderBy(surgery, days)).toBe(by)
  })

  it('is on the plan with the day and the next best in stock on the myopic side', () => {
    const { recommended } = lensPlan(fromList({ surgeryDate: said('2026-12-14') }), LIST)
    expect(recommended).toMatchObject({ powerD: 9, supply: 'to-order', ordering: { days: 5, by: '2026-12-07' } })
    const { withoutOrdering } = recommended?.ordering ?? {}
    expect(withoutOrdering).toMatchObject({ powerD: 10, supply: 'in-stock' })
    expect(withoutOrdering?.leaves.highD).toBeLessThan(recommended?.leaves.highD ?? 0)
  })

  it('names no day when the day of surgery is not known', () => {
    const { ordering } = lensPlan(fromList(), LIST).recommended ?? {}
    expect(ordering?.by).toBeUndefined()
    expect(ordering?.words).toMatch(/day of surgery was not stated/)
  })

  it('is too late only after the day', () => {
    const { ordering } = lensPlan(fromList({ surgeryDate: said('2026-12-14') }), LIST).recommended ?? {}
    if (!ordering) throw new Error('nothing to order')
    expect(isTooLate(ordering, '2026-12-07T23:00:00Z')).toBe(false)
    expect(isTooLate(ordering, '2026-12-08')).toBe(true)
  })

  it('says where a lens is not made, and that this eye asks for it there', () => {
    const [quayA] = LIST.lenses
    if (!quayA) throw new Error('no lens')
    const powers = [
      { fromD: -5, toD: 5, stepD: 1, supply: 'in-stock' as const },
      { fromD: 10, toD: 30, stepD: 0.5, supply: 'in-stock' as const },
    ]
    const plan = lensPlan(fromList(), { ...LIST, lenses: [{ ...quayA, powers }] })
    expect(plan.gapsInRange).toEqual([{ belowD: 5, aboveD: 10 }])
    expect(plan.notes.join(' ')).toContain('not made between +5.0 D and +10.0 D')
  })

  it.each([0.001, 0.004, 0.125])('is refused in steps of %f D, which would round to other powers or to none', (stepD) => {
    const lenses = LIST.lenses.map((lens) => ({ ...lens, powers: [{ fromD: -5, toD: 5, stepD, supply: 'in-stock' as const }] }))
    expect(changed({ lenses }).success).toBe(false)
  })

  it('shows how many eyes each constant was optimised on', () => {
    expect(lensPlan(fromList(), LIST).constants.map(({ eyes, modality }) => [eyes, modality])).toEqual([[0, 'optical']])
  })
})

describe('a length of which nobody said how it was measured', () => {
  const forecastBy = (axialLengthMethod: ReturnType<typeof longBrownEye>['axialLengthMethod']) => {
    const { forecast } = lensPlan(longBrownEye({ axialLengthMethod, staphyloma: said('absent') }), undefined)
    if (!forecast) throw new Error('no forecast')
    return forecast
  }

  it('is no surer than one by ultrasound, and the chance says so', () => {
    const [unsaid, optical] = [forecastBy(undefined), forecastBy(said('optical'))]
    expect(unsaid.standardDeviationD).toBeGreaterThan(optical.standardDeviationD + 0.05)
    expect(unsaid.unbiased.withinOne).toBeLessThan(optical.unbiased.withinOne)
    expect(unsaid.caveats.join(' ')).toContain('no surer than one by ultrasound')
    expect(unsaid.measureAgain[0]?.action).toContain('optically')
    expect(optical.caveats.join(' ')).not.toContain('not stated')
  })
})

describe('rows that optics forbid', () => {
  it('are set aside with what optics allow, T2 in a steep eye of 36 mm', () => {
    const { formulas } = lensPlan(
      longBrownEye({ axialLengthMm: said(36), keratometry: mean(47), targetRefractionD: said(0) }),
      undefined,
    )
    const row = formulas.find(({ formula, adjustment }) => formula === 't2' && adjustment === 'none')
    expect(row?.counts).toBe(false)
    expect(row?.reason).toMatch(/optically impossible/)
    expect(row?.powerForTargetD).not.toBeNull()
  })

  it('an eye filled with oil gets no lens, and no row counts', () => {
    const plan = lensPlan(longBrownEye({ siliconeOil: said(true) }), undefined)
    expect(plan.recommended).toBeUndefined()
    expect(plan.noRecommendation).toMatch(/settle oil and lens with the retina surgeon/)
    expect(plan.formulas.every(({ counts }) => !counts)).toBe(true)
    expect(lensPlan(longBrownEye({ siliconeOil: said(false) }), undefined).recommended).toEqual(
      lensPlan(longBrownEye(), undefined).recommended,
    )
  })

  it('are all set aside on a cornea that had refractive surgery', () => {
    const plan = lensPlan(longBrownEye({ previousRefractiveSurgery: said(true) }), undefined)
    expect(plan.recommended).toBeUndefined()
    expect(plan.noRecommendation).toMatch(/method made for operated corneas/)
    expect(plan.formulas.every(({ counts }) => !counts)).toBe(true)
  })
})

describe('beside the other eye', () => {
  it('stands the difference in refraction, signed from the fellow eye', () => {
    const { fellow, recommended } = lensPlan(longBrownEye({ fellow: { refractionD: said(-9) } }), undefined)
    expect(fellow?.anisometropia?.lowD).toBeCloseTo(-9 - (recommended?.leaves.highD ?? 0), 9)
    expect(fellow?.words[0]).toMatch(/6\.9 to 7\.3 D/)
  })

  it('image sizes are equal when the eyes are, and unknown when the fellow eye is phakic or unmeasured', () => {
    const alike = lensPlan(longBrownEye(), undefined)
    const refracted = alike.forecast?.predictedD ?? Number.NaN
    const twin = {
      lensStatus: said('pseudophakic' as const),
      axialLengthMm: said(29.6),
      meanKeratometryD: said(42.65),
      refractionD: said(refracted),
    }
    expect(lensPlan(longBrownEye({ fellow: twin }), undefined).fellow?.aniseikoniaPercent).toBeCloseTo(0, 9)
    const phakic = lensPlan(longBrownEye({ fellow: { ...twin, lensStatus: said('phakic' as const) } }), undefined).fellow
    expect(phakic?.aniseikoniaPercent).toBeUndefined()
    expect(phakic?.missing.join(' ')).toMatch(/own lens/)
  })

  it('half of the first error moves the aim, and the lens is shown both ways but not changed', () => {
    const plain = lensPlan(longBrownEye(), undefined)
    const plan = lensPlan(longBrownEye({ fellow: { predictionErrorD: said(1.6) } }), undefined)
    expect(plan.fellow?.secondEye).toMatchObject({ correctionD: -0.8, aimD: expect.closeTo(-2.55, 9) })
    expect(plan.fellow?.secondEye?.corrected?.powerD).toBeGreaterThan(plan.fellow?.secondEye?.plain?.powerD ?? 99)
    expect(plan.recommended).toEqual(plain.recommended)
  })

  it.each([
    ['says so where the corneas are too unlike for that', 44.5, true],
    ['is silent where they are alike', 43, false],
    ['says that it cannot tell where the cornea of the first eye was not stated', undefined, true],
  ])('%s', (_, meanKeratometryD, said60) => {
    const cornea = meanKeratometryD === undefined ? {} : { meanKeratometryD: said(meanKeratometryD) }
    const fellow = { predictionErrorD: said(1.6), ...cornea }
    const { secondEye } = lensPlan(longBrownEye({ fellow }), undefined).fellow ?? {}
    expect(secondEye?.words.includes('over 0.60 D')).toBe(said60)
  })

  it('a large first error is not halved but wants its cause', () => {
    const { secondEye } = lensPlan(longBrownEye({ fellow: { predictionErrorD: said(4) } }), undefined).fellow ?? {}
    expect(secondEye?.aimD).toBeUndefined()
    expect(secondEye?.words).toMatch(/find the cause/)
  })

  it('a lifelong high myope is asked, with both lenses; a reading target or a hyperope is not', () => {
    const choice = lensPlan(longBrownEye({ targetRefractionD: said(-0.25) }), undefined).targetChoice
    const [far, near] = choice?.options ?? []
    expect(far?.lens?.powerD).toBeLessThan(near?.lens?.powerD ?? 0)
    expect(near?.lens?.leaves.highD).toBeLessThan(-2.5 + 0.005)
    expect(lensPlan(longBrownEye(), undefined).targetChoice).toBeUndefined()
    const hyperope = said({ sphereD: 1, sphericalEquivalentD: 1 })
    expect(lensPlan(longBrownEye({ targetRefractionD: said(0), refraction: hyperope }), undefined).targetChoice).toBeUndefined()
  })
})

describe('astigmatism', () => {
  const steep = said({ meanD: 43.25, flatD: 42.1, steepD: 44.4, flatAxisDeg: 5, steepAxisDeg: 95, indexGiven: 1.3375 })

  it('is worked out from 1.50 D, or when a toric lens is planned, and not below', () => {
    expect(lensPlan(fromList(), LIST).toric).toBeUndefined()
    expect(lensPlan(fromList({ toricPlanned: said(true) }), LIST).toric?.because).toMatch(/planned/)
    expect(lensPlan(fromList({ keratometry: steep }), LIST).toric?.because).toMatch(/2\.30 D/)
  })

  it('names a step that is made and never turns the astigmatism round', () => {
    const { toric } = lensPlan(fromList({ keratometry: steep }), LIST)
    const [first] = toric?.estimates ?? []
    expect(LIST.lenses[0]?.toricCylindersD).toContain(toric?.lens?.cylinderD)
    expect(toric?.lens?.cylinderD).toBeLessThanOrEqual(first?.lensCylinderD ?? 0)
    expect(toric?.lens?.leaves.meridianDeg).toBeCloseTo(first?.total?.meridianDeg ?? Number.NaN, 6)
    expect(toric?.lens?.leaves.magnitudeD).toBeLessThan(first?.total?.magnitudeD ?? 0)
  })

  it('asks more of the lens than of the cornea in a long eye', () => {
    const [first] = lensPlan(fromList({ keratometry: steep }), LIST).toric?.estimates ?? []
    expect((first?.lensCylinderD ?? 0) / (first?.total?.magnitudeD ?? 1)).toBeGreaterThan(1.46)
  })

  it('adds what the incision induces across its meridian, and says when it was not stated', () => {
    const without = lensPlan(fromList({ keratometry: steep }), LIST).toric
    const across = lensPlan(
      fromList({ keratometry: steep, incisionMeridianDeg: said(95), inducedAstigmatismD: said(0.4) }),
      LIST,
    ).toric
    expect(without?.missing.join(' ')).toMatch(/incision/)
    expect(across?.missing).toEqual([])
    expect(across?.induced).toEqual({ magnitudeD: 0.4, meridianDeg: 5 })
    expect(across?.estimates[0]?.total?.magnitudeD).toBeLessThan(without?.estimates[0]?.total?.magnitudeD ?? 0)
  })

  it('without meridians gives no number and names what is missing', () => {
    const plan = lensPlan(fromList({ keratometry: said({ meanD: 43.25, flatD: 42.1, steepD: 44.4, indexGiven: 1.3375 }) }), LIST)
    expect(plan.toric?.estimates).toEqual([])
    expect(plan.toric?.missing.join(' ')).toMatch(/meridian of the steep/)
  })
})

describe('separate constants', () => {
  it('are given only when asked for, with the objection, and change nothing else', () => {
    const plain = lensPlan(longBrownEye(), undefined)
    const asked = lensPlan(longBrownEye({ separateConstantsAsked: said(true) }), undefined)
    expect(plain.separateConstants).toBeUndefined()
    expect(asked.separateConstants?.objection).toMatch(/Contested/)
    expect({ ...asked, separateConstants: undefined }).toEqual({ ...plain, separateConstants: undefined })
  })
})

describe('biometry checks', () => {
  const finding = (id: string, parts: Parameters<typeof longBrownEye>[0] = {}) =>
    biometryChecksOf(longBrownEye(parts)).find((check) => check.id === id)?.finding

  it('ask to confirm a long eye, pass an ordinary one, and call what is missing unknown', () => {
    expect(finding('long-eye')).toBe('confirm')
    expect(finding('national-axial-length', { axialLengthMm: said(23.5) })).toBe('within')
    expect(finding('national-length-between-eyes')).toBe('unknown')
    expect(finding('national-length-between-eyes', { fellow: { axialLengthMm: said(27) } })).toBe('confirm')
    expect(finding('age-of-biometry', { biometryAgeMonths: said(30) })).toBe('confirm')
  })

  it('say that a converted index or depth was converted, and is not to be converted again', () => {
    const index = said({ meanD: 42.65, indexGiven: 1.332 })
    expect(finding('keratometric-index', { keratometry: index })).toBe('within')
    expect(finding('depth-definition', { anteriorChamberDepthFrom: said('endothelium') })).toBe('within')
    expect(finding('depth-definition')).toBe('unknown')
  })

  it('never withhold a lens', () => {
    expect(biometryChecksOf(longBrownEye()).some((check) => check.finding === 'confirm')).toBe(true)
    expect(lensPlan(longBrownEye(), undefined).recommended).toBeDefined()
  })
})
