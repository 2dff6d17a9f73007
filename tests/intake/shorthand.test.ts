import { describe, expect, it } from 'vitest'
import { caseFrom, valuesFrom } from './reading-of.js'

/** Each row: how a surgeon may write it, and what it must be read as. */
const ROWS: readonly (readonly [text: string, values: Readonly<Record<string, unknown>>])[] = [
  // age and sex
  ['58M', { ageYears: 58, sex: 'male' }],
  ['F 72', { ageYears: 72, sex: 'female' }],
  ['58 yo man', { ageYears: 58, sex: 'male' }],
  ['man of 58', { ageYears: 58, sex: 'male' }],
  ['72-year-old lady', { ageYears: 72, sex: 'female' }],
  ['58/M', { ageYears: 58, sex: 'male' }],
  ['aged 91', { ageYears: 90 }],
  ['age: 66, female', { ageYears: 66, sex: 'female' }],
  // lengths
  ['AL 29,84', { axialLengthMm: 29.84 }],
  ['AL 2.96 cm', { axialLengthMm: 29.6 }],
  ['axial length = 29.6mm (immersion)', { axialLengthMm: 29.6, axialLengthMethod: 'immersion' }],
  ['AL (optical) 29.6', { axialLengthMm: 29.6, axialLengthMethod: 'optical' }],
  ['AL 29.6 swept-source, SNR 120', { axialLengthMm: 29.6, axialLengthMethod: 'optical', axialLengthSnr: 120 }],
  ['immersion AL 29.6', { axialLengthMm: 29.6, axialLengthMethod: 'immersion' }],
  ['AL 29.6 contact A-scan', { axialLengthMm: 29.6, axialLengthMethod: 'contact' }],
  ['AL 29.6 US', { axialLengthMm: 29.6, axialLengthMethod: 'ultrasound' }],
  [
    'optical biometry failed, AL 29.6 ultrasound',
    { opticalBiometryFailed: true, axialLengthMm: 29.6, axialLengthMethod: 'ultrasound' },
  ],
  ['ＡＬ ２９．６０', { axialLengthMm: 29.6 }],
  ['AL\u00a029·60', { axialLengthMm: 29.6 }],
  ['• AL – 29.6', { axialLengthMm: 29.6 }],
  ['ACD 3.45 from epithelium', { anteriorChamberDepthMm: 3.45, anteriorChamberDepthFrom: 'epithelium' }],
  [
    'ACD 2.90 from endothelium, CCT 0.548',
    { anteriorChamberDepthMm: 3.448, anteriorChamberDepthFrom: 'endothelium', centralCornealThicknessUm: 548 },
  ],
  ['CCT 541 microns', { centralCornealThicknessUm: 541 }],
  ['CCT 0.541 mm', { centralCornealThicknessUm: 541 }],
  ['pupil dilated 5.5', { pupilDilatedMm: 5.5 }],
  ['dilates to 6 mm', { pupilDilatedMm: 6 }],
  ['cell count 2,180', { endothelialCellDensityPerMm2: 2180 }],
  ['ECD 2.180', { endothelialCellDensityPerMm2: 2180 }],
  ['2180 cells', { endothelialCellDensityPerMm2: 2180 }],
  ['weight 80kg', { weightKg: 80 }],
  ['biometry 6 weeks ago', { biometryAgeMonths: 1.38 }],
  // corneal power
  [
    'K1 43.20@5 K2 42.10@95',
    { keratometry: { meanD: 42.65, flatD: 42.1, steepD: 43.2, flatAxisDeg: 95, steepAxisDeg: 5, indexGiven: 1.3375 } },
  ],
  ['K 42.10/43.20', { keratometry: { meanD: 42.65, flatD: 42.1, steepD: 43.2, indexGiven: 1.3375 } }],
  [
    'K 42.10@95/43.20@5',
    { keratometry: { meanD: 42.65, flatD: 42.1, steepD: 43.2, flatAxisDeg: 95, steepAxisDeg: 5, indexGiven: 1.3375 } },
  ],
  ['Km 43,5', { keratometry: { meanD: 43.5, indexGiven: 1.3375 } }],
  [
    'flat K 42.10 at 95, steep K 43.20 at 5',
    { keratometry: { meanD: 42.65, flatD: 42.1, steepD: 43.2, flatAxisDeg: 95, steepAxisDeg: 5, indexGiven: 1.3375 } },
  ],
  ['R1 7.80 mm R2 7.50 mm', { keratometry: { meanD: 44.1346, flatD: 43.2692, steepD: 45, indexGiven: 1.3375 } }],
  ['K1 7.80 K2 7.50', { keratometry: { meanD: 44.1346, flatD: 43.2692, steepD: 45, indexGiven: 1.3375 } }],
  ['K 33.2 n 1.332', { keratometry: { meanD: 33.75, indexGiven: 1.332 } }],
  // refraction, acuity, pressure
  [
    'refraction -14.50/-1.25x170',
    { refraction: { sphereD: -14.5, cylinderD: -1.25, axisDeg: 170, sphericalEquivalentD: -15.125 } },
  ],
  ['Rx −14.50 −1.25 × 170', { refraction: { sphereD: -14.5, cylinderD: -1.25, axisDeg: 170, sphericalEquivalentD: -15.125 } }],
  ['SE -15', { refraction: { sphereD: -15, sphericalEquivalentD: -15 } }],
  ['VA 6/60', { acuity: '6/60' }],
  ['20/200', { acuity: '20/200' }],
  ['VA 0.1', { acuity: '0.1 decimal' }],
  ['vision HM', { acuity: 'HM' }],
  ['CF 1m', { acuity: 'CF at 1 m' }],
  ['logMAR 0.8', { acuity: '0.8 logMAR' }],
  ['IOP 14 mm Hg', { intraocularPressureMmHg: 14 }],
  // the fellow eye
  ['other eye phakic -16', { fellow: { lensStatus: 'phakic', refractionD: -16 } }],
  [
    'fellow eye: AL 24.1, K 43.50, pseudophakic, -1.50',
    { fellow: { axialLengthMm: 24.1, meanKeratometryD: 43.5, lensStatus: 'pseudophakic', refractionD: -1.5 } },
  ],
  ['RD in fellow eye, no PCR in fellow eye', { fellow: { retinalDetachment: true, capsuleRupture: false } }],
  ['fellow eye prediction error +0.75', { fellow: { predictionErrorD: 0.75 } }],
  // the nucleus
  ['LOCS III NO 5.2 NC 4.8', { nucleus: { scale: 'locs-iii-no', grade: 5.2, band: 'very-hard' } }],
  ['NC4.8', { nucleus: { scale: 'locs-iii-nc', grade: 4.8, band: 'hard' } }],
  ['no 5.2', { nucleus: { scale: 'locs-iii-no', grade: 5.2, band: 'very-hard' } }],
  ['Emery IV', { nucleus: { scale: 'emery', grade: 4, band: 'hard' } }],
  ['Emery-Little 5', { nucleus: { scale: 'emery', grade: 5, band: 'black' } }],
  ['Buratto 5', { nucleus: { scale: 'buratto', grade: 5, band: 'black' } }],
  ['NS 3+', { nucleus: { scale: 'plus', grade: 3, band: 'hard' } }],
  ['4+ nucleus', { nucleus: { scale: 'plus', grade: 4, band: 'very-hard' } }],
  ['4+ black', { nucleus: { scale: 'colour', grade: 'black', band: 'black' } }],
  ['BCN 8', { nucleus: { scale: 'bcn-10', grade: 8, band: 'very-hard' } }],
  ['WHO 3', { nucleus: { scale: 'who', grade: 3, band: 'very-hard' } }],
  ['brunescent', { nucleus: { scale: 'colour', grade: 'brunescent', band: 'very-hard' } }],
  ['amber', { nucleus: { scale: 'colour', grade: 'amber', band: 'hard' } }],
  ['rock-hard nucleus', { nucleus: { scale: 'colour', grade: 'rock hard', band: 'black' } }],
  ['brown iris', {}],
  ['mature white cataract', { whiteCataract: true }],
  // what is found
  ['no fundal view', { fundusView: 'none' }],
  ['fundal view: nil', { fundusView: 'none' }],
  ['hazy view', { fundusView: 'partial' }],
  ['B-scan: retina flat', { bScan: 'flat' }],
  ['B scan shows RD', { bScan: 'detached' }],
  ['B-scan not done', { bScan: 'not-done' }],
  ['no staphyloma', { staphyloma: 'absent' }],
  ['myopic CNV', { macula: 'neovascular' }],
  ['OCT not possible', { macularOct: 'not-possible' }],
  ['lattice, treated tear', { periphery: 'lattice' }],
  ['PVD', { vitreous: 'detached' }],
  ['no PVD', { vitreous: 'attached' }],
  ['weak zonules', { zonules: 'weak' }],
  ['zonules ok', { zonules: 'normal' }],
  ['zonules unknown', {}],
  ['phacodonesis', { zonules: 'phacodonesis' }],
  ['no PEX', { pseudoexfoliation: false }],
  ['PXF: yes', { pseudoexfoliation: true }],
  ['no PXF or alpha blocker', { pseudoexfoliation: false, alphaBlocker: 'never' }],
  ['denies tamsulosin', { alphaBlocker: 'never' }],
  ['tamsulosin 400 mcg od', { alphaBlocker: 'current' }],
  ['tamsulosin stopped 2019', { alphaBlocker: 'past' }],
  ['previous doxazosin', { alphaBlocker: 'past' }],
  ['on apixaban and aspirin', { anticoagulant: 'doac' }],
  ['no anticoagulants', { anticoagulant: 'none' }],
  ['not diabetic', { diabetes: 'none' }],
  ['diabetic, no DR', { diabetes: 'diabetes' }],
  ['T2DM with diabetic retinopathy', { diabetes: 'retinopathy' }],
  ['previous PPV', { previousVitrectomy: true }],
  ['3 previous anti-VEGF injections', { intravitrealInjections: 3 }],
  ['no injections', {}],
  ["can't lie flat", { canLieFlat: false }],
  ['lies flat', { canLieFlat: true }],
  ['only eye, squint, amblyopia', { onlyEye: true, strabismus: true, amblyopia: true }],
  ['Fuchs, previous LASIK', { fuchsDystrophy: true, previousRefractiveSurgery: true }],
  ['lattice: no', {}],
  ['RD: unknown', {}],
  ['warfarin: no', {}],
  ['glaucoma no view', { glaucoma: true, fundusView: 'none' }],
  ['phacodonesis NO 5.2', { zonules: 'phacodonesis', nucleus: { scale: 'locs-iii-no', grade: 5.2, band: 'very-hard' } }],
  ['previous RD', {}],
  ['not brown', {}],
  ['no black nucleus', {}],
  ['brunescent: no', {}],
  ['possible brown cataract', {}],
  ['dense brown cataract', { nucleus: { scale: 'colour', grade: 'brown', band: 'very-hard' } }],
  [
    'Fellow: pseudophakic, -2.25, had RD 2015',
    { fellow: { lensStatus: 'pseudophakic', refractionD: -2.25, retinalDetachment: true } },
  ],
  ['pupil dilates poorly 4mm', { pupilDilatedMm: 4 }],
  // the operation
  ["sub-Tenon's block", { anaesthesia: 'sub-tenon' }],
  ['topical + intracameral', { anaesthesia: 'topical-intracameral' }],
  ['2.4 mm incision', { incisionMm: 2.4 }],
  ['bottle 60 cm', { bottleHeightCm: 60 }],
  ['active infusion 50 mmHg', { activeInfusion: true, infusionPressureMmHg: 50 }],
  ['MSICS', { technique: 'manual-small-incision' }],
  ['registrar (120 cases)', { surgeonGrade: 'registrar', surgeonCases: 120 }],
  ['ST5', { surgeonGrade: 'registrar' }],
  ['SHO', { surgeonGrade: 'trainee' }],
  ['fellow operating', { surgeonGrade: 'fellow' }],
  ['surgeon: staff grade', { surgeonGrade: 'specialty-doctor' }],
  ['registrar supervised by consultant', { surgeonGrade: 'registrar' }],
  ['surgery 3 Dec 2026', { surgeryDate: '2026-12-03' }],
  ['op 2026-12-03', { surgeryDate: '2026-12-03' }],
  ['next list 03/12/2026', { surgeryDate: '2026-12-03' }],
  ['next list 3 December', { surgeryDate: '2026-12-03' }],
  ['op tomorrow', { surgeryDate: '2026-11-25' }],
  ['target −1.75', { targetRefractionD: -1.75 }],
  ['target-1.75', { targetRefractionD: -1.75 }],
  ['aim for plano', { targetRefractionD: 0 }],
  ['target 1.75 D myopic', { targetRefractionD: -1.75 }],
  ['RE aphakic. Target around -3', { targetRefractionD: -3, fellow: { lensStatus: 'aphakic' } }],
  ['target +0.5', { targetRefractionD: 0.5 }],
  ['A 118.9 optical', { lensConstants: { aConstant: 118.9, modality: 'optical' } }],
  ['A-const 118,9; US constants', { lensConstants: { aConstant: 118.9, modality: 'ultrasound' } }],
  [
    'SF 1.85 pACD 5.6 a0 -0.77 a1 0.234 a2 0.217',
    { lensConstants: { surgeonFactorMm: 1.85, personalisedAcdMm: 5.6, haigisA0: -0.77, haigisA1: 0.234, haigisA2: 0.217 } },
  ],
  ['QUAY 3 SULCUS', { lensLabel: 'Quay 3 sulcus' }],
  ['lens: quay 1', { lensLabel: 'Quay 1' }],
]

describe('shorthand', () => {
  it.each(ROWS)('%s', (text, values) => {
    const { notUnderstood: _, ...read } = valuesFrom(`LE. ${text}`)
    const expected = { eye: 'left', ...values }
    if ('biometryAgeMonths' in values) expect(read['biometryAgeMonths']).toBeCloseTo(Number(values['biometryAgeMonths']), 2)
    else expect(read).toEqual(expected)
    expect(caseFrom(`LE. ${text}`).problems.filter(({ blocks }) => blocks)).toEqual([])
  })

  it.each([['AL 29:60'], ['AL 29.6O'], ['AL 29.60.1'], ["AL 29'60"], ['K1 43:20 K2 44'], ['target -1:75'], ['AL 2O.6']])(
    'never takes a part of %s for the whole',
    (text) => {
      const { case: read, problems } = caseFrom(`LE. ${text}`)
      expect([read.axialLengthMm, read.keratometry, read.targetRefractionD]).toEqual([undefined, undefined, undefined])
      expect(problems.length).toBeGreaterThan(0)
    },
  )

  it.each([
    ['AL 29.6', 'mm assumed'],
    ['CCT 0.541', '541'],
    ['K1 7.80 K2 7.50', 'radius'],
    ['K 43.5', 'index 1.3375 assumed'],
    ['K 33.2 n 1.332', 'converted from index 1.332 to 1.3375'],
    ['next list 03/12/2026', 'day first: 3 December 2026'],
    ['ST5', 'read as registrar'],
    ['target-1.75', 'dash read as minus'],
    ['brown NO 5.2', 'also brown'],
    ['aged 91', '90 or over'],
    ['other eye pseudophakic -1.50, AL 29', 'comma ended the fellow eye'],
  ])('says what was taken for granted in %s', (text, words) => {
    const read = caseFrom(`LE. ${text}`)
    expect(JSON.stringify([read.items, read.case])).toContain(words)
  })
})
