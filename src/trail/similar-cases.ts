import {
  type FeatureRow,
  NUMBER_FACTS,
  type NumberFact,
  WORD_FACTS,
  type WordFact,
  YES_NO_FACTS,
  type YesNoFact,
} from './features.js'

/**
 * Cases like this one, by Gower's general coefficient: each fact that both cases know gives a distance from 0 to 1,
 * and the distance of two cases is their weighted mean.
 * Source: Gower JC. A general coefficient of similarity and some of its properties. Biometrics 1971;27:857-871.
 *
 * Here the range of a number, by which its difference is divided, is not taken from the cases at hand but stated: the
 * difference that makes two eyes as unlike in this fact as they can be. A yes or no counts only where one of the two is a
 * yes, as Gower has it: that two eyes both lack a rare thing does not make them alike. Scales and weights are a convention
 * of this project, not validated.
 */
export const SCALES: Readonly<Record<NumberFact, { readonly range: number; readonly weight: number }>> = {
  axialLengthMm: { range: 3, weight: 4 },
  nucleusStep: { range: 3, weight: 3 },
  meanKeratometryD: { range: 5, weight: 2 },
  endothelialCellDensityPerMm2: { range: 1500, weight: 2 },
  anteriorChamberDepthMm: { range: 1, weight: 2 },
  pupilDilatedMm: { range: 3, weight: 2 },
  lensThicknessMm: { range: 1.2, weight: 1 },
  centralCornealThicknessUm: { range: 100, weight: 1 },
  whiteToWhiteMm: { range: 1.5, weight: 1 },
  intraocularPressureMmHg: { range: 15, weight: 1 },
  ageYears: { range: 40, weight: 1 },
  targetRefractionD: { range: 4, weight: 1 },
  // The power follows from the facts above; counted again it would say twice what they say.
  recommendedPowerD: { range: 10, weight: 0 },
}

const WORD_WEIGHTS: Readonly<Record<WordFact, number>> = {
  fundusView: 2,
  zonules: 2,
  bScan: 1,
  staphyloma: 1,
  macula: 1,
  periphery: 1,
  alphaBlocker: 1,
  axialLengthMethod: 0,
}

const YES_NO_WEIGHTS: Readonly<Record<YesNoFact, number>> = {
  whiteCataract: 3,
  posteriorPolarCataract: 3,
  onlyEye: 2,
  pseudoexfoliation: 2,
  previousVitrectomy: 2,
  previousRefractiveSurgery: 2,
  fuchsDystrophy: 2,
  cornealScar: 1,
  ocularTrauma: 1,
}

/** How much a case that lacks facts of this one is set back: this much if it shared none of them. */
const UNKNOWN_PENALTY = 0.5

/** A case that shares less than this part of what is known here is no comparison. */
const LEAST_SHARED = 0.4

/** A fact in which two cases were compared. */
export type Compared =
  | { readonly kind: 'number'; readonly fact: NumberFact; readonly there: number; readonly here: number; readonly apart: number }
  | { readonly kind: 'word'; readonly fact: WordFact; readonly there: string; readonly here: string; readonly apart: number }
  | { readonly kind: 'yes-no'; readonly fact: YesNoFact; readonly there: boolean; readonly here: boolean; readonly apart: number }

export interface Similar {
  readonly row: FeatureRow
  /** 0 alike in everything that both know, with the penalty for what the other one does not; smaller is nearer. */
  readonly distance: number
  /** Facts in which they are near, the weightiest first. */
  readonly alike: readonly Compared[]
  /** Facts in which they are far apart, the weightiest first. */
  readonly unlike: readonly Compared[]
  /** Facts known here and not there. */
  readonly notKnownThere: readonly (NumberFact | WordFact | YesNoFact)[]
}

/** Nearer than this in one fact counts as alike, further than that as unlike; in between nothing is said. */
const ALIKE_WITHIN = 0.25
const UNLIKE_BEYOND = 0.6

interface Weighed {
  readonly compared: Compared
  readonly weight: number
}

/**
 * Compares one past case with this one.
 * @returns undefined where they share too few facts to be compared
 */
export function compare(here: FeatureRow, there: FeatureRow): Similar | undefined {
  const weighed: Weighed[] = []
  const notKnownThere: (NumberFact | WordFact | YesNoFact)[] = []
  let known = 0
  let shared = 0

  const take = <Fact extends NumberFact | WordFact | YesNoFact, Value>(
    fact: Fact,
    weight: number,
    here: Value | undefined,
    there: Value | undefined,
    compared: (here: Value, there: Value) => Compared | undefined,
  ): void => {
    if (weight === 0 || here === undefined) return
    known += weight
    if (there === undefined) {
      notKnownThere.push(fact)
      return
    }
    shared += weight
    const found = compared(here, there)
    if (found) weighed.push({ compared: found, weight })
  }

  for (const fact of NUMBER_FACTS) {
    const { range, weight } = SCALES[fact]
    take(fact, weight, here.numbers[fact], there.numbers[fact], (one, other) => {
      return { kind: 'number', fact, here: one, there: other, apart: Math.min(1, Math.abs(one - other) / range) }
    })
  }
  for (const fact of WORD_FACTS) {
    take(fact, WORD_WEIGHTS[fact], here.words[fact], there.words[fact], (one, other) => {
      return { kind: 'word', fact, here: one, there: other, apart: one === other ? 0 : 1 }
    })
  }
  for (const fact of YES_NO_FACTS) {
    take(fact, YES_NO_WEIGHTS[fact], here.yesNo[fact], there.yesNo[fact], (one, other) =>
      one || other ? { kind: 'yes-no', fact, here: one, there: other, apart: one === other ? 0 : 1 } : undefined,
    )
  }

  const total = weighed.reduce((sum, { weight }) => sum + weight, 0)
  if (total === 0 || shared < LEAST_SHARED * known) return undefined
  const mean = weighed.reduce((sum, { compared, weight }) => sum + weight * compared.apart, 0) / total
  const byWeight = weighed.toSorted((one, other) => other.weight - one.weight).map(({ compared }) => compared)
  return {
    row: there,
    distance: mean + UNKNOWN_PENALTY * (1 - shared / known),
    alike: byWeight.filter(({ apart }) => apart <= ALIKE_WITHIN),
    unlike: byWeight.filter(({ apart }) => apart >= UNLIKE_BEYOND),
    notKnownThere,
  }
}

/** Beyond this distance a case is not like this one. */
const FURTHEST = 0.35

/**
 * The past cases nearest to this one, nearest first; of two equally near the newer one comes first.
 * Goes through the rows once and holds only as many as are wanted.
 */
export async function nearestCases(
  here: FeatureRow,
  rows: AsyncIterable<FeatureRow> | Iterable<FeatureRow>,
  wanted: number,
): Promise<readonly Similar[]> {
  const nearest: Similar[] = []
  for await (const there of rows) {
    if (there.ref === here.ref) continue
    const similar = compare(here, there)
    if (!similar || similar.distance > FURTHEST) continue
    const last = nearest.at(-1)
    if (last && nearest.length >= wanted && !isNearer(similar, last)) continue
    const place = nearest.findIndex((other) => isNearer(similar, other))
    nearest.splice(place === -1 ? nearest.length : place, 0, similar)
    if (nearest.length > wanted) nearest.pop()
  }
  return nearest
}

function isNearer(one: Similar, other: Similar): boolean {
  if (one.distance !== other.distance) return one.distance < other.distance
  if (one.row.askedAt !== other.row.askedAt) return one.row.askedAt > other.row.askedAt
  return one.row.ref < other.row.ref
}
