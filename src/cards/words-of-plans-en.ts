/**
 * Phrases by which a card knows a sentence of the plan, as the models and rules write them in English. A test holds each to
 * what they write now; a plan that was stored in other words is shown in full.
 */
export const PLAN_PHRASES = {
  /** How the rupture model says that it was scaled, and the same for the first screen. */
  recalibrated: 'recalibrated to',
  recalibratedBriefly: 'at',
  /** How the detachment model opens an effect that puts an eye above the band of its length. */
  aboveBand: 'above the band',
  commonPractice: 'common practice',
  /** How the title of a work opens that has no author. */
  untitledAuthor: 'The ',
  withStaphyloma: 'with staphyloma',
  retrobulbar: 'retrobulbar',
  cells: { before: 'before surgery', low: 'after surgery, low', high: 'after surgery, high' },
  /** A population that may be cut short: where it counts operations, and where its further words begin. */
  population: {
    countsOperations: /^\d[\d,]* (?:cataract )?operations/,
    further: / by | in (?:one|\d+) |, /,
    leftOut: 'cataract ',
    country: 'UK',
  },
} as const
