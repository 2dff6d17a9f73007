import { DENSITY_BANDS } from '../case/nuclear-density.js'
import { type AskedConsult, decisionOf, opinionsHidden } from '../consult/consult.js'
import { outcomeInWords } from '../consult/outcome.js'
import { idsOf, type Person, type Place } from '../consult/people.js'
import type { Plan } from '../plan/plan.js'
import { STEPS, type Step } from '../terms/steps.js'
import type { Scope } from './trail-store.js'

/** Measured facts by which consults are compared and searched, each with its unit in its name. */
export const NUMBER_FACTS = [
  'axialLengthMm',
  'meanKeratometryD',
  'anteriorChamberDepthMm',
  'lensThicknessMm',
  'centralCornealThicknessUm',
  'whiteToWhiteMm',
  'pupilDilatedMm',
  'endothelialCellDensityPerMm2',
  'intraocularPressureMmHg',
  'ageYears',
  'targetRefractionD',
  'recommendedPowerD',
  /** Step of the density band, 0 soft to 5 black. */
  'nucleusStep',
] as const
export type NumberFact = (typeof NUMBER_FACTS)[number]

/** Facts that are one word of a list. */
export const WORD_FACTS = [
  'fundusView',
  'bScan',
  'staphyloma',
  'macula',
  'periphery',
  'zonules',
  'alphaBlocker',
  'axialLengthMethod',
] as const
export type WordFact = (typeof WORD_FACTS)[number]

/** Facts that are yes or no. */
export const YES_NO_FACTS = [
  'whiteCataract',
  'posteriorPolarCataract',
  'pseudoexfoliation',
  'fuchsDystrophy',
  'previousVitrectomy',
  'previousRefractiveSurgery',
  'onlyEye',
  'cornealScar',
  'ocularTrauma',
] as const
export type YesNoFact = (typeof YES_NO_FACTS)[number]

/**
 * One consult as a compact row: what a comparison or a range looks at, so that a million of them can be gone through.
 * A fact that is absent is unknown.
 */
export interface FeatureRow {
  readonly ref: string
  /** ISO time, UTC. */
  readonly askedAt: string
  readonly eye?: 'right' | 'left'
  readonly numbers: Readonly<Partial<Record<NumberFact, number>>>
  readonly words: Readonly<Partial<Record<WordFact, string>>>
  readonly yesNo: Readonly<Partial<Record<YesNoFact, boolean>>>
  /** Steps that opinions or firing precautions concern. */
  readonly steps: readonly Step[]
  /** Names of those who asked, answered or decided. */
  readonly people: readonly string[]
  /** What was recorded of the outcome, in words; absent: nothing was recorded. */
  readonly outcome?: string
  /** What the surgeon settled on, and with which lens. */
  readonly decision?: { readonly planA: string; readonly lensD?: number }
}

/** A row with where its consult stands and whose it is, so that it is shown to those alone who may see it. */
export interface PlacedRow extends FeatureRow {
  readonly place: Place
  readonly askedBy: Person
  readonly planHash: string
  /** How many colleagues have answered. */
  readonly opinions: number
  /**
   * Ids of those who have a part in it. A name only where nobody was known by it: people of a chat choose their own, so
   * whoever is known is known by the id alone.
   */
  readonly partOf: readonly string[]
}

/** What a store keeps of each consult to be gone through; made when something is appended, never at reading. */
export interface FeatureRows {
  /** The rows of the consults asked last, newest first. `before`: only of those asked before this ISO time. */
  similarRows(scope: Scope, limit: number, before?: string): AsyncIterable<PlacedRow>
  /** The rows of these consults, in the order given. */
  rowsOf(refs: readonly string[]): Promise<readonly PlacedRow[]>
  /** True while some consults of an earlier version have no row yet: those asked last may not be all. Absent: not known. */
  factsMissing?(): boolean
}

/**
 * The row of a consult, from its present revision.
 * @param plan absent where it was erased: then nothing of the eye is known
 */
export function featuresOf(consult: AskedConsult, plan: Plan | undefined): FeatureRow {
  const facts = plan?.case
  const decided = decisionOf(consult)?.decision
  return {
    ref: consult.ref,
    askedAt: consult.askedAt,
    ...(facts?.eye ? { eye: facts.eye.value } : {}),
    numbers: plan ? numbersOf(plan) : {},
    words: present(WORD_FACTS, (fact) => facts?.[fact]?.value),
    yesNo: present(YES_NO_FACTS, (fact) => facts?.[fact]?.value),
    steps: stepsOf(consult, plan),
    people: [
      ...new Set(
        [consult.askedBy, ...[...shownOpinions(consult), ...consult.decisions].map(({ by }) => by)].map(({ name }) => name),
      ),
    ],
    ...(consult.outcomes.length === 0
      ? {}
      : { outcome: consult.outcomes.map(({ outcome }) => outcomeInWords(outcome)).join('; ') }),
    ...(decided ? { decision: { planA: decided.planA, ...(decided.lens ? { lensD: decided.lens.powerD } : {}) } } : {}),
  }
}

/** The row with its place and its people. */
export function placedRow(consult: AskedConsult, plan: Plan | undefined): PlacedRow {
  const { place, askedBy, askedBefore, planHash, opinions, comments, asking, deputyAsked, tasks } = consult
  const people = [askedBy, ...askedBefore, ...opinions.map(({ by }) => by), ...comments.map(({ by }) => by)]
  const asked = [...(asking.asked ?? []), asking.deputy, deputyAsked?.deputy].filter((name) => name !== undefined)
  const owners = tasks.flatMap(({ owner, reached }) => (owner === undefined ? [] : idsOf([owner], reached)))
  return {
    ...featuresOf(consult, plan),
    place,
    askedBy,
    planHash,
    opinions: opinions.length,
    partOf: [...new Set([...people.map(({ id }) => id), ...idsOf(asked, asking.reached), ...owners])],
  }
}

/** What is kept back from the reader of a card is kept back from a search as well. */
const shownOpinions = (consult: AskedConsult): AskedConsult['opinions'] => (opinionsHidden(consult) ? [] : consult.opinions)

function present<Fact extends string, Value>(
  facts: readonly Fact[],
  stated: (fact: Fact) => Value | undefined,
): Readonly<Partial<Record<Fact, Value>>> {
  const found: Partial<Record<Fact, Value>> = {}
  for (const fact of facts) {
    const value = stated(fact)
    if (value !== undefined) found[fact] = value
  }
  return found
}

function numbersOf(plan: Plan): FeatureRow['numbers'] {
  const { keratometry, nucleus, ...facts } = plan.case
  return present(NUMBER_FACTS, (fact) => {
    switch (fact) {
      case 'meanKeratometryD':
        return keratometry?.value.meanD
      case 'nucleusStep':
        return nucleus && DENSITY_BANDS.indexOf(nucleus.value.band)
      case 'recommendedPowerD':
        return plan.lens.recommended?.powerD
      default:
        return facts[fact]?.value
    }
  })
}

function stepsOf(consult: AskedConsult, plan: Plan | undefined): readonly Step[] {
  const concerned = new Set<Step>([
    ...shownOpinions(consult).flatMap(({ opinion }) => opinion.steps),
    ...(plan?.precautions ?? []).flatMap(({ finding, place, step }) => (finding === 'fires' && place === 'eye' ? [step] : [])),
  ])
  return STEPS.filter((step) => concerned.has(step))
}
