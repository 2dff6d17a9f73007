import { type Plan, planSchema } from '../../src/plan/plan.js'

/** A small plan for an invented eye; the store and the desk only carry it. */
export const inventedPlan = (changes: { readonly axialLengthMm?: number; readonly question?: string } = {}): Plan => {
  const { axialLengthMm = 29.6, question } = changes
  return planSchema.parse({
    versions: { plan: 1, soundings: '0.1.0', formulas: 'f1', rules: 'r1', lensList: 'none' },
    case: {
      eye: { value: 'left', source: 'LE', line: 1 },
      axialLengthMm: { value: axialLengthMm, source: `AL ${axialLengthMm}`, line: 1 },
      nucleus: { value: { scale: 'locs-iii-no', grade: 5.2, band: 'very-hard' }, source: 'brown NO 5.2', line: 1 },
      staphyloma: { value: 'present', source: 'staphyloma', line: 2 },
      anaesthesia: { value: 'sub-tenon', source: 'sub-Tenon', line: 2 },
      ...(question === undefined ? {} : { question: { value: question, source: `? ${question}`, line: 3 } }),
    },
    lens: {
      missing: [],
      target: { refractionD: -1.75, stated: true },
      constants: [],
      formulas: [],
      recommended: {
        powerD: 9,
        supply: 'assumed-steps',
        leaves: { lowD: -1.91, highD: -1.75 },
        standsOn: 'length-adjusted rows',
        awaitsPrint: true,
      },
      gapsInRange: [],
      notes: [],
    },
    biometryChecks: [],
    risks: [],
    surgery: [],
    precautions: [
      {
        id: 'long-eye-low-bottle',
        theme: 'high-myopia',
        indicator: 'critical',
        step: 'nucleus',
        finding: 'fires',
        place: 'eye',
        text: 'Lower the bottle at entry.',
        why: 'The chamber of a long eye deepens under pressure.',
        missingFacts: [],
        harm: 2,
        changeableBefore: true,
        layer: 'shipped',
        sources: [],
      },
    ],
    tensions: [],
    gaps: [],
  })
}
