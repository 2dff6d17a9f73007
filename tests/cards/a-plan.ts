import type { FormulaRow, Plan, Precaution } from '../../src/plan/plan.js'
import type { AdjustmentId, FormulaId } from '../../src/terms/formulas.js'

/** An invented plan for an invented eye, shaped like a computed one; the lens numbers are those of a long eye with a dense lens. */

const POWERS = [8, 8.5, 9, 9.5, 10]
const TARGET = -1.75

function row(
  formula: FormulaId,
  adjustment: AdjustmentId,
  power: number,
  slope: number,
  use: Pick<FormulaRow, 'counts' | 'basis'> & { reason?: string },
): FormulaRow {
  const lengths = { none: 29.6, 'wang-koch-2011': 28.94, 'wang-koch-2018': 29.03, 'cooke-2019': 29.38 }
  return {
    formula,
    adjustment,
    axialLengthUsedMm: lengths[adjustment],
    effectiveLensPositionMm: 5.61,
    powerForTargetD: power,
    ...use,
    flags: [],
    predicted: POWERS.map((powerD) => ({ powerD, refractionD: TARGET - (powerD - power) * slope })),
    working: {
      inputs: [
        { name: 'axial length', value: lengths[adjustment], unit: 'mm' },
        { name: 'mean keratometry', value: 42.65, unit: 'D' },
      ],
      steps: [{ name: 'effective lens position', value: 5.61, unit: 'mm' }],
      equation: 'P = 1336/(L - d) - 1336/(1336/Z - d)',
      source: { cite: 'Author A. A formula. Journal 1990;16:333-340', year: 1990, sureness: 'memory' },
    },
  }
}

const compared = { counts: true, basis: false, reason: 'unadjusted formulas leave long eyes hyperopic: shown for comparison' }
const stoodOn = { counts: true, basis: true }
const aside = { counts: false, basis: false, reason: 'start constants, not optimised for this formula: never averaged in' }

const FORMULAS: FormulaRow[] = [
  row('srk-t', 'none', 7.59, 0.674, compared),
  row('t2', 'none', 7.96, 0.635, compared),
  row('holladay-1', 'none', 6.81, 0.712, compared),
  row('hoffer-q', 'none', 6.99, 0.657, compared),
  row('haigis', 'none', 7.7, 0.68, aside),
  row('srk-t', 'wang-koch-2011', 9.0, 0.674, stoodOn),
  row('holladay-1', 'wang-koch-2011', 8.77, 0.7, stoodOn),
  row('hoffer-q', 'wang-koch-2011', 8.98, 0.66, stoodOn),
  row('haigis', 'wang-koch-2011', 9.03, 0.68, aside),
  row('srk-t', 'wang-koch-2018', 8.79, 0.674, stoodOn),
  row('holladay-1', 'wang-koch-2018', 8.56, 0.7, stoodOn),
]

export function precaution(given: Partial<Precaution> & Pick<Precaution, 'id' | 'text'>): Precaution {
  return {
    theme: 'high-myopia',
    indicator: 'warning',
    step: 'nucleus',
    finding: 'fires',
    place: 'eye',
    why: 'Why it matters for this eye',
    missingFacts: [],
    harm: 3,
    changeableBefore: true,
    layer: 'shipped',
    sources: [
      { cite: 'Author A, Author B. Journal 2011;37:2018-2027', year: 2011, sureness: 'read', supports: 'the association' },
    ],
    ...given,
  }
}

const PRECAUTIONS: Precaution[] = [
  precaution({
    id: 'no-needle-block',
    text: 'No needle block: topical or sub-Tenon.',
    indicator: 'critical',
    step: 'anaesthesia',
    harm: 1,
  }),
  precaution({
    id: 'senior-operates',
    text: 'Senior operates, or stands scrubbed.',
    indicator: 'critical',
    step: 'consent',
    harm: 1,
  }),
  precaution({
    id: 'retina-first',
    text: 'Dilated retinal examination or B-scan first.',
    indicator: 'critical',
    step: 'assessment',
    harm: 2,
  }),
  precaution({
    id: 'block-reversed',
    text: 'Lift the iris before raising the bottle.',
    indicator: 'critical',
    step: 'viscoelastic',
    harm: 2,
  }),
  precaution({
    id: 'anisometropia',
    text: 'Plan the second eye or a contact lens now.',
    indicator: 'critical',
    step: 'consent',
    harm: 2,
  }),
  precaution({ id: 'backup-lens', text: 'Backup lens in the theatre.', indicator: 'critical', step: 'lens', harm: 3 }),
  precaution({
    id: 'cells',
    text: 'Soft shell, dispersive first.',
    indicator: 'warning',
    step: 'viscoelastic',
    theme: 'dense-cataract',
  }),
  precaution({ id: 'low-bottle', text: 'Lower the bottle at entry.', indicator: 'warning', step: 'incision' }),
  precaution({ id: 'ring', text: 'Have the larger ring ready: 13 mm open, 11 mm compressed.', indicator: 'info', step: 'lens' }),
  precaution({
    id: 'alpha-blocker',
    text: 'Plan for a floppy iris.',
    indicator: 'warning',
    step: 'assessment',
    finding: 'unknown',
    ask: 'Tamsulosin or another alpha blocker, now or ever?',
    missingFacts: ['alphaBlocker'],
  }),
  precaution({ id: 'time-out', text: 'Say eye and lens power aloud.', indicator: 'warning', step: 'lens', place: 'checklist' }),
  precaution({ id: 'short-eye', text: 'Short eye.', finding: 'quiet' }),
]

const said = <Value>(value: Value, source: string) => ({ value, source, line: 1 })

export const A_PLAN: Plan = {
  versions: {
    plan: 1,
    soundings: '0.1.0',
    formulas: '0a1b2c3d4e5f60718293a4b5c6d7e8f9',
    rules: 'ffeeddccbbaa99887766554433221100',
    lensList: 'none',
  },
  case: {
    eye: said('left', 'Left eye'),
    ageYears: said(58, 'man of 58'),
    sex: said('male', 'man'),
    axialLengthMm: said(29.6, 'AL 29.60 mm'),
    axialLengthMethod: said('optical', 'optical'),
    keratometry: {
      value: { meanD: 42.65, flatD: 42.1, steepD: 43.2, flatAxisDeg: 95, steepAxisDeg: 5, indexGiven: 1.3375 },
      source: 'K1 42.10@95 K2 43.20@5',
      line: 1,
      assumed: 'index 1.3375',
    },
    anteriorChamberDepthMm: said(3.45, 'ACD 3.45'),
    lensThicknessMm: said(4.9, 'LT 4.90'),
    nucleus: said({ scale: 'locs-iii-no', grade: 5.2, band: 'very-hard' }, 'LOCS III NO 5.2'),
    fundusView: said('none', 'no fundal view'),
    bScan: said('flat', 'B-scan: retina flat'),
    staphyloma: said('absent', 'no staphyloma'),
    endothelialCellDensityPerMm2: said(2180, 'ECD 2,180'),
    fellow: { lensStatus: said('pseudophakic', 'fellow eye pseudophakic'), refractionD: said(-1.5, '-1.50') },
    surgeonGrade: said('registrar', 'a registrar operates'),
    targetRefractionD: said(TARGET, 'target -1.75'),
    question: said('Chop, or plan a manual extraction from the start?', 'Chop, or plan a manual extraction from the start?'),
    notUnderstood: [{ text: 'seen w. Friday list', line: 2 }],
  },
  lens: {
    missing: [],
    target: { refractionD: TARGET, stated: true },
    lensLabel: 'Monofocal one-piece',
    lensListTitle: 'Lantern Quay Eye Unit (invented)',
    constants: [
      { formula: 'srk-t', name: 'A', value: 118.9, origin: 'stated in the message', modality: 'optical' },
      { formula: 'haigis', name: 'a0', value: 1.274, origin: 'converted from A 118.9', modality: 'optical' },
    ],
    formulas: FORMULAS,
    spread: { lowD: 6.81, highD: 9.0 },
    recommended: {
      powerD: 9,
      supply: 'in-stock',
      leaves: { lowD: -1.91, highD: -1.75 },
      leavesUnadjusted: { lowD: -3.31, highD: -2.41 },
      standsOn: 'the rows with a published length adjustment: unadjusted formulas leave long eyes hyperopic',
      awaitsPrint: true,
    },
    gapsInRange: [],
    notes: ['The sum-of-segments length is shown for comparison: no constants were optimised for it.'],
  },
  risks: [
    {
      id: 'capsule-rupture-odds-2009',
      about: 'Capsule rupture',
      model: 'the 2001-06 odds model',
      population: '55,567 operations in the United Kingdom',
      years: '2001-2006',
      surgeon: 'registrar',
      value: 0.138,
      recalibrated: [{ baseRate: 'base rate of 2016-17', value: 0.071 }],
      otherSurgeons: [{ surgeon: 'consultant', value: 0.098 }],
      factorsUsed: [{ factor: 'no fundal view', level: 'yes', effect: 'odds × 2.46' }],
      factorsUnstated: [{ factor: 'alpha blocker', wouldChange: 'it would raise the odds by half' }],
      words:
        'Capsule rupture, registrar: 14 in 100 by the 2001-06 odds model, 7 in 100 recalibrated to later rates (consultant 10)',
      caveats: ['The table of odds is recalled and awaits a check in print'],
      source: { cite: 'Author C and others. Eye 2009;23:31-37', year: 2009, sureness: 'memory' },
    },
    {
      id: 'capsule-rupture-score-2004',
      about: 'Capsule rupture, integer score',
      model: 'integer score',
      population: '1,000 operations, one unit',
      years: '2004',
      band: { words: 'score 4: 5 in 100 observed' },
      recalibrated: [],
      otherSurgeons: [],
      factorsUsed: [],
      factorsUnstated: [],
      words: 'Capsule rupture, integer score 4: 5 in 100 observed in 2004 (1,000 operations, one unit)',
      caveats: [],
      source: { cite: 'Author D. Journal 2004', year: 2004, sureness: 'secondary' },
    },
  ],
  surgery: [
    {
      id: 'infusion-pressure',
      about: 'Infusion pressure',
      step: 'incision',
      words: 'Infusion pressure: bottle 70 cm above the eye gives about 51 mmHg (70 cmH2O) without flow',
      values: [{ name: 'pressure', value: 51.5, unit: 'mmHg' }],
      source: { cite: '1 cmH2O = 0.7356 mmHg', sureness: 'derived' },
    },
    {
      id: 'bag-diameter',
      about: 'Capsular bag',
      step: 'lens',
      words: 'Capsular bag: no number',
      values: [],
      outOfRange: 'the model was made from eyes of 21 to 27 mm',
      source: { cite: 'Author E. Journal 2008', year: 2008, sureness: 'memory' },
    },
  ],
  biometryChecks: [],
  precautions: PRECAUTIONS,
  tensions: [
    {
      id: 'low-pressure-or-stable-chamber',
      step: 'nucleus',
      question: 'Low bottle for the deep chamber, or more pressure for a stable one?',
      sides: [
        {
          pull: 'Lower the bottle: the chamber deepens under pressure',
          sources: [{ cite: 'Author F 2007', year: 2007, sureness: 'read' }],
        },
        {
          pull: 'Keep the pressure up: surge tears a thin capsule',
          sources: [{ cite: 'Author G 2012', year: 2012, sureness: 'secondary' }],
        },
      ],
    },
  ],
  gaps: [
    {
      fact: 'axialLengthMm',
      label: 'axial length',
      state: 'doubtful',
      wouldChange: '0.10 mm is about 0.15 D of refraction in an eye this long.',
      task: 'second biometry, by another method if possible',
    },
    {
      fact: 'alphaBlocker',
      label: 'alpha blocker',
      state: 'missing',
      wouldChange: 'Tamsulosin or another alpha blocker, now or ever?',
      task: 'ask about alpha blockers',
    },
  ],
}
