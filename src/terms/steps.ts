/** The surgical steps, in the order in which they happen. Precautions and opinions name one of these. */
export const STEPS = [
  'assessment',
  'biometry',
  'consent',
  'anaesthesia',
  'incision',
  'viscoelastic',
  'capsulorhexis',
  'hydrodissection',
  'nucleus',
  'cortex',
  'lens',
  'closure',
  'aftercare',
] as const
export type Step = (typeof STEPS)[number]

/** The indicator vocabulary of HL7 CDS Hooks cards, gravest first. */
export const INDICATORS = ['critical', 'warning', 'info'] as const
export type Indicator = (typeof INDICATORS)[number]
