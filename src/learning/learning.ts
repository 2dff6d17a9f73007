import { FORMULAS } from '../terms/formulas.js'
import { groupByLens } from './eyes-for-constants.js'
import { type HaigisProposal, proposeHaigis } from './haigis-constants.js'
import type { Lesson } from './lesson.js'
import type { ImportedOperation } from './operations-file.js'
import { type OpinionAgreement, opinionAgreement } from './opinion-agreement.js'
import { type ErrorSummary, summariseErrors } from './prediction-error.js'
import { type BaseRate, type RuptureChart, ruptureChart } from './rupture-chart.js'
import { type ConstantProposal, proposeConstant } from './single-constant.js'

/** What a trail teaches. */
export interface Learning {
  /** ISO date. */
  readonly made: string
  readonly consults: number
  /** Plans that could not be read; their consults are in no figure. */
  readonly unread: number
  /** Consults with an outcome whose plan was erased; they are in no figure either. */
  readonly erased: number
  /** What the figures stand on, a sentence each; empty where whoever asked has chosen it. */
  readonly drawnFrom: readonly string[]
  readonly lessons: readonly Lesson[]
  readonly notCompared: readonly { readonly because: string; readonly eyes: number }[]
  readonly errors: readonly ErrorSummary[]
  readonly constants: readonly ConstantProposal[]
  readonly haigis: readonly HaigisProposal[]
  readonly ruptures: RuptureChart
  readonly opinions: readonly OpinionAgreement[]
}

export interface LearningOptions {
  readonly made: string
  readonly consults: number
  readonly unread: number
  readonly erased?: number
  readonly drawnFrom?: readonly string[]
  readonly baseRate: BaseRate
  readonly operations?: readonly ImportedOperation[] | undefined
}

/** Everything that these consults teach. Nothing in it changes a formula, a constant or a rule. */
export function learnFrom(lessons: readonly Lesson[], options: LearningOptions): Learning {
  const groups = groupByLens(lessons.flatMap(({ implanted }) => (implanted ? [implanted] : [])))
  return {
    made: options.made,
    consults: options.consults,
    unread: options.unread,
    erased: options.erased ?? 0,
    drawnFrom: options.drawnFrom ?? [],
    lessons,
    notCompared: counted(lessons.flatMap(({ notCompared }) => (notCompared === undefined ? [] : [notCompared]))),
    errors: summariseErrors(lessons.flatMap(({ errors }) => errors)),
    constants: groups.flatMap((group) => FORMULAS.map((formula) => proposeConstant(formula, group))),
    haigis: groups.map(proposeHaigis),
    ruptures: ruptureChart(lessons, options.baseRate, options.operations),
    opinions: opinionAgreement(lessons),
  }
}

function counted(reasons: readonly string[]): Learning['notCompared'] {
  const counts = new Map<string, number>()
  for (const reason of reasons) counts.set(reason, (counts.get(reason) ?? 0) + 1)
  return [...counts].map(([because, eyes]) => ({ because, eyes })).toSorted((one, other) => other.eyes - one.eyes)
}
