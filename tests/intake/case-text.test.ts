import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  ANAESTHESIA,
  AXIAL_LENGTH_METHODS,
  type Case,
  caseSchema,
  LENS_STATUS,
  SURGEON_GRADES,
  TECHNIQUES,
} from '../../src/case/case.js'
import { COLOUR_WORDS, densityBand, GRADE_RANGES, type NuclearScale } from '../../src/case/nuclear-density.js'
import { writeCase } from '../../src/intake/case-text.js'
import { caseFrom, LENSES, valuesFrom, valuesOf } from './reading-of.js'

const stated = <Value>(value: fc.Arbitrary<Value>): fc.Arbitrary<{ value: Value; source: string; line: number }> =>
  value.map((one) => ({ value: one, source: 'as written', line: 1 }))
const decimal = (low: number, high: number, places: number): fc.Arbitrary<number> => {
  const factor = 10 ** places
  return fc
    .integer({ min: Math.ceil(low * factor), max: Math.floor(high * factor) })
    .map((step) => Number((step / factor).toFixed(places)))
}
const number = (low: number, high: number, places = 2) => stated(decimal(low, high, places))
const yesNo = stated(fc.boolean())
const oneOf = <const Value>(...values: readonly Value[]) => stated(fc.constantFrom(...values))
const round = (value: number): number => Number(value.toFixed(4))

const keratometry = fc
  .record({
    flat: decimal(36, 44, 2),
    more: decimal(0, 4, 2),
    axis: fc.integer({ min: 0, max: 90 }),
    shape: fc.constantFrom('mean', 'plain', 'axes'),
    index: fc.constantFrom(1.3375, 1.332, 1.336),
  })
  .map(({ flat, more, axis, shape, index }) => {
    if (shape === 'mean') return { meanD: flat, indexGiven: index }
    const steep = round(flat + more)
    const axes = shape === 'axes' ? { flatAxisDeg: axis, steepAxisDeg: axis + 90 } : {}
    return { meanD: round((flat + steep) / 2), flatD: flat, steepD: steep, ...axes, indexGiven: index }
  })
const refraction = fc
  .record({
    sphere: decimal(-30, 10, 2),
    cylinder: fc.option(decimal(-6, 6, 2), { nil: undefined }),
    axis: fc.integer({ min: 0, max: 180 }),
  })
  .map(({ sphere, cylinder, axis }) =>
    cylinder === undefined
      ? { sphereD: sphere, sphericalEquivalentD: sphere }
      : { sphereD: sphere, cylinderD: cylinder, axisDeg: axis, sphericalEquivalentD: sphere + cylinder / 2 },
  )
const graded = (scale: Exclude<NuclearScale, 'colour'>, places: number) =>
  decimal(GRADE_RANGES[scale].low, GRADE_RANGES[scale].high, places).map((grade) => ({
    scale,
    grade,
    band: densityBand(scale, grade) ?? 'soft',
  }))
const nucleus = fc.oneof(
  graded('locs-iii-no', 1),
  graded('locs-iii-nc', 1),
  graded('emery', 0),
  graded('buratto', 0),
  graded('plus', 0),
  graded('bcn-10', 0),
  graded('who', 0),
  fc
    .constantFrom(...COLOUR_WORDS)
    .map((grade) => ({ scale: 'colour' as const, grade, band: densityBand('colour', grade) ?? ('soft' as const) })),
)
const words = fc
  .array(fc.constantFrom('chop', 'or', 'manual', 'lens', 'first', '29.60', 'why', 'AL', 'no', 'safe,', 'which;', 'RE'), {
    minLength: 1,
    maxLength: 8,
  })
  .map((list) => list.join(' '))

const fellowFields = {
  axialLengthMm: number(19, 39),
  meanKeratometryD: number(36, 48),
  refractionD: number(-25, 8),
  lensStatus: oneOf(...LENS_STATUS),
  anteriorChamberDepthMm: number(2, 5),
  lensThicknessMm: number(2.5, 7),
  centralCornealThicknessUm: number(400, 800, 0),
  whiteToWhiteMm: number(9, 14, 1),
  endothelialCellDensityPerMm2: number(300, 4000, 0),
  intraocularPressureMmHg: number(5, 60, 0),
  acuity: oneOf('6/6', 'HM'),
  capsuleRupture: yesNo,
  retinalDetachment: yesNo,
  predictionErrorD: number(-3, 3),
}
const constantFields = {
  aConstant: number(110, 121, 1),
  surgeonFactorMm: number(-1, 4),
  personalisedAcdMm: number(3, 7),
  haigisA0: number(-5, 5),
  haigisA1: number(-1, 1),
  haigisA2: number(-1, 1),
  modality: oneOf('optical' as const, 'ultrasound' as const),
}
const fields = {
  eye: oneOf('right' as const, 'left' as const),
  ageYears: number(18, 90, 0),
  sex: oneOf('female' as const, 'male' as const),
  weightKg: number(35, 200, 0),
  axialLengthMm: number(19, 39),
  axialLengthMethod: oneOf(...AXIAL_LENGTH_METHODS),
  axialLengthSdMm: number(0, 1),
  axialLengthSnr: number(2, 999, 1),
  opticalBiometryFailed: yesNo,
  keratometry: stated(keratometry),
  anteriorChamberDepthMm: number(2, 5),
  lensThicknessMm: number(2.5, 7),
  centralCornealThicknessUm: number(400, 800, 0),
  whiteToWhiteMm: number(9, 14, 1),
  pupilDilatedMm: number(1, 9, 1),
  endothelialCellDensityPerMm2: number(300, 4000, 0),
  intraocularPressureMmHg: number(5, 60, 0),
  refraction: stated(refraction),
  acuity: oneOf(
    '6/60',
    '20/200',
    'HM',
    'CF at 1 m',
    'PL',
    'NPL',
    '0.8 logMAR',
    '0.1 decimal',
    '6/36 best corrected',
    '6/60 unaided; 6/24 pinhole',
  ),
  biometryAgeMonths: number(0, 60, 1),
  nucleus: stated(nucleus),
  redReflex: oneOf('present' as const, 'absent' as const),
  fundusView: oneOf('clear' as const, 'partial' as const, 'none' as const),
  bScan: oneOf('flat' as const, 'detached' as const, 'other-finding' as const, 'not-done' as const),
  staphyloma: oneOf('present' as const, 'absent' as const),
  macula: oneOf(...caseSchema.shape.macula.unwrap().shape.value.options),
  macularOct: oneOf('done' as const, 'not-done' as const, 'not-possible' as const),
  myopicMaculopathy: number(0, 4, 0),
  periphery: oneOf(...caseSchema.shape.periphery.unwrap().shape.value.options),
  vitreous: oneOf('attached' as const, 'detached' as const),
  zonules: oneOf('normal' as const, 'weak' as const, 'phacodonesis' as const),
  zonularLossClockHours: number(0, 12, 0),
  alphaBlocker: oneOf('never' as const, 'past' as const, 'current' as const),
  anticoagulant: oneOf('none' as const, 'antiplatelet' as const, 'warfarin' as const, 'doac' as const, 'other' as const),
  intravitrealInjections: number(0, 60, 0),
  diabetes: oneOf('none' as const, 'diabetes' as const, 'without-retinopathy' as const, 'retinopathy' as const),
  anaesthesia: oneOf(...ANAESTHESIA),
  technique: oneOf(...TECHNIQUES),
  incisionMm: number(1.8, 11, 1),
  incisionMeridianDeg: number(0, 360, 0),
  inducedAstigmatismD: number(0, 3),
  bottleHeightCm: number(20, 140, 0),
  infusionPressureMmHg: number(10, 100, 0),
  surgeonGrade: oneOf(...SURGEON_GRADES),
  surgeonCases: number(0, 9999, 0),
  surgeryDate: oneOf('2026-11-24', '2026-12-03', '2027-02-28'),
  targetRefractionD: number(-6, 3),
  lensLabel: oneOf(...LENSES),
  whiteCataract: yesNo,
  posteriorPolarCataract: yesNo,
  posteriorCapsulePlaque: yesNo,
  cornealScar: yesNo,
  fuchsDystrophy: yesNo,
  morningBlur: yesNo,
  keratoconus: yesNo,
  contactLenses: oneOf('none' as const, 'soft' as const, 'rigid' as const, 'worn' as const),
  phakicLens: yesNo,
  newFloaters: yesNo,
  familyRetinalDetachment: yesNo,
  pseudoexfoliation: yesNo,
  previousVitrectomy: yesNo,
  siliconeOil: yesNo,
  previousRefractiveSurgery: yesNo,
  glaucoma: yesNo,
  uveitis: yesNo,
  posteriorSynechiae: yesNo,
  steroidResponder: yesNo,
  onlyEye: yesNo,
  canLieFlat: yesNo,
  amblyopia: yesNo,
  strabismus: yesNo,
  ocularTrauma: yesNo,
  activeInfusion: yesNo,
  toricPlanned: yesNo,
  multifocalPlanned: yesNo,
  separateConstantsAsked: yesNo,
  siliconeOpticPlanned: yesNo,
  capsularRingPlanned: yesNo,
  question: stated(words),
  fellow: fc.record(fellowFields, { requiredKeys: ['axialLengthMm'] }),
  lensConstants: fc.record(constantFields, { requiredKeys: ['aConstant'] }),
  notUnderstood: fc.array(
    words.map((text) => ({ text, line: 1 })),
    { minLength: 1, maxLength: 1 },
  ),
}
const anyCase: fc.Arbitrary<Case> = fc.record(fields, { requiredKeys: [] }).map((whole) => caseSchema.parse(whole))

/** Written with the depth that it belongs to, and held by a test of its own. */
const WRITTEN_WITH_THE_DEPTH = 'anteriorChamberDepthFrom'
const keysOf = (schema: { readonly shape: object }): readonly string[] => Object.keys(schema.shape).sort()

describe('every field of a case', () => {
  it('is among those that are written out and read back here', () => {
    expect([...Object.keys(fields), WRITTEN_WITH_THE_DEPTH].sort()).toEqual(keysOf(caseSchema))
    expect(Object.keys(fellowFields).sort()).toEqual(keysOf(caseSchema.shape.fellow.unwrap()))
    expect(Object.keys(constantFields).sort()).toEqual(keysOf(caseSchema.shape.lensConstants.unwrap()))
  })

  it.each(
    Object.entries({
      ...fields,
      ...Object.fromEntries(
        Object.entries(fellowFields).map(([name, one]) => [
          `fellow ${name}`,
          one.map((value) => ({ fellow: { [name]: value } })),
        ]),
      ),
      ...Object.fromEntries(
        Object.entries(constantFields).map(([name, one]) => [
          `constant ${name}`,
          one.map((value) => ({ lensConstants: { [name]: value } })),
        ]),
      ),
    }),
  )('has a line that says it: %s', (name, arbitrary) => {
    for (const value of fc.sample(arbitrary as fc.Arbitrary<unknown>, { numRuns: 20, seed: 5 })) {
      const whole = caseSchema.parse(name.includes(' ') ? value : { [name]: value })
      expect(writeCase(whole), JSON.stringify(value)).not.toBe('')
      expect(valuesFrom(writeCase(whole)), writeCase(whole)).toEqual(valuesOf(whole))
    }
  })
})

describe('a case written out', () => {
  it('is read back as the same case', () => {
    fc.assert(
      fc.property(anyCase, (whole) => {
        fc.pre(Object.keys(whole).length > 0)
        expect(valuesFrom(writeCase(whole)), writeCase(whole)).toEqual(valuesOf(whole))
      }),
      { numRuns: 400, seed: 20261124 },
    )
  })

  it('writes every single fact so that it is read back without a problem that blocks', () => {
    for (const [name, arbitrary] of Object.entries(fields)) {
      fc.assert(
        fc.property(arbitrary as fc.Arbitrary<unknown>, (value) => {
          const whole = caseSchema.parse({ [name]: value })
          const text = writeCase(whole)
          const read = caseFrom(text)
          expect(valuesOf(read.case), text).toEqual(valuesOf(whole))
          expect(
            read.problems.filter(({ blocks }) => blocks),
            text,
          ).toEqual([])
        }),
        { numRuns: 60, seed: 7 },
      )
    }
  })

  it('gives a depth from the epithelium back as one', () => {
    const whole = caseFrom('LE ACD 3.45 from epithelium').case
    expect(valuesOf(whole)).toMatchObject({ anteriorChamberDepthMm: 3.45, anteriorChamberDepthFrom: 'epithelium' })
    expect(valuesFrom(writeCase(whole))).toEqual(valuesOf(whole))
  })

  it('gives a depth from the endothelium back as one', () => {
    const whole = caseFrom('LE AQD 2.90, CCT 548').case
    expect(valuesOf(whole)).toMatchObject({ anteriorChamberDepthMm: 3.448, anteriorChamberDepthFrom: 'endothelium' })
    expect(valuesFrom(writeCase(whole))).toEqual(valuesOf(whole))
  })
})
