import type { AskedConsult } from '../consult/consult.js'
import type { OpinionKind } from '../consult/opinion.js'
import type { Complication, Outcome } from '../consult/outcome.js'
import { type EyeForLens, eyeForLens } from '../plan/formula-rows.js'
import type { Plan } from '../plan/plan.js'
import { type FormulaError, formulaErrors } from './formula-errors.js'

/** What one consult teaches, small enough that those of a whole trail are held at once. */
export interface Lesson {
  readonly ref: string
  /** ISO day of the operation, or of the first outcome where the day was not stated. */
  readonly day: string
  /** Achieved minus predicted, one for each row of the plan that counted; empty where `notCompared` says why. */
  readonly errors: readonly FormulaError[]
  readonly notCompared?: string
  /** Present where constants can be personalised from this eye. */
  readonly implanted?: ImplantedEye
  /** Capsule rupture or vitreous loss; absent where nothing was said about complications. */
  readonly rupture?: boolean
  readonly expected?: ExpectedRupture
  /** Absent where it is not known whether anything went wrong. */
  readonly trouble?: Trouble
  readonly opinions: readonly LessonOpinion[]
}

export interface ImplantedEye {
  readonly lensLabel: string
  readonly eye: EyeForLens
  readonly powerD: number
  readonly achievedD: number
  readonly constants: Plan['lens']['constants']
}

/** Probability by the 2001–06 odds model as the plan showed it, and carried to later national rates. */
export interface ExpectedRupture {
  readonly published: number
  readonly recalibrated: readonly { readonly baseRate: string; readonly value: number }[]
  readonly surgeonStated: boolean
}

export interface Trouble {
  readonly complication: boolean
  /** More than 1 D from what the plan's own rows predicted, or recorded as a surprise. */
  readonly surprise: boolean
}

export interface LessonOpinion {
  readonly kind: OpinionKind
  /** The case was changed after it was given. */
  readonly changedAfter: boolean
}

/** A refraction this far from the predicted one counts as a surprise, dioptres. Common practice, no source. */
export const SURPRISE_FROM_D = 1

/** The model's outcome is capsule rupture or vitreous loss; a nucleus is not dropped through a whole capsule. */
const RUPTURES: readonly Complication[] = ['posterior-capsule-rupture', 'vitreous-loss', 'dropped-nucleus']

/** The lens did not end where every formula takes it to be, or is not the one that was recorded. */
const LENS_ELSEWHERE: readonly Complication[] = [
  ...RUPTURES,
  'zonular-dialysis',
  'wrong-lens-implanted',
  'lens-damaged',
  'lens-dislocation',
]
/** Expected in the years after an operation that went well. */
const NO_TROUBLE: readonly Complication[] = ['posterior-capsule-opacification']

const CAPSULE_RUPTURE_MODEL = 'capsule-rupture-odds-2009'

/** Hash of the plan that the operation was decided on: that of the decided revision, else the present one. */
export function planInForce({ decisions, revisions, planHash }: AskedConsult): string {
  const decided = decisions.at(-1)?.revision
  return revisions.find(({ revision }) => revision === decided)?.planHash ?? planHash
}

/** What a consult teaches, or undefined while no outcome of an operation was recorded. */
export function lessonOf(consult: AskedConsult, plan: Plan): Lesson | undefined {
  const outcomes = consult.outcomes.filter(({ outcome }) => outcome.stage !== 'near-miss')
  const [first] = outcomes
  if (!first) return undefined
  const said = outcomes.map(({ outcome }) => outcome)
  const complications = said.some((outcome) => outcome.complications !== undefined)
    ? said.flatMap((outcome) => outcome.complications ?? [])
    : undefined
  const compared = comparison(said, complications, plan)
  const expected = expectedRupture(plan)
  const trouble = troubleOf(complications, compared)
  const decided = consult.decisions.at(-1)?.revision ?? consult.revision
  return {
    ref: consult.ref,
    day: said.find(({ stage, on }) => stage === 'operation' && on)?.on ?? first.outcome.on ?? first.at.slice(0, 10),
    ...compared,
    ...(complications === undefined ? {} : { rupture: complications.some((one) => RUPTURES.includes(one)) }),
    ...(expected ? { expected } : {}),
    ...(trouble ? { trouble } : {}),
    opinions: opinionsBefore(consult, first.at, decided),
  }
}

/** The last opinion of each colleague that was given before anything was known of the outcome. */
const opinionsBefore = ({ opinions }: AskedConsult, known: string, decided: number): readonly LessonOpinion[] =>
  opinions.flatMap(({ earlier, at, revision, opinion }) => {
    const given = [...earlier, { at, revision, opinion }].findLast((one) => one.at < known)
    return given ? [{ kind: given.opinion.kind, changedAfter: given.revision < decided }] : []
  })

type Compared = Pick<Lesson, 'errors' | 'notCompared' | 'implanted'>

function comparison(said: readonly Outcome[], complications: readonly Complication[] | undefined, plan: Plan): Compared {
  const not = (notCompared: string): Compared => ({ errors: [], notCompared })
  const achievedD = said.findLast(
    ({ stage, refractionD }) => stage === 'four-to-six-weeks' && refractionD !== undefined,
  )?.refractionD
  const lens = said.findLast((outcome) => outcome.lens !== undefined)?.lens
  if (achievedD === undefined) return not('no refraction at four to six weeks')
  if (lens === undefined) return not('the implanted lens was not recorded')
  if (complications?.some((one) => LENS_ELSEWHERE.includes(one))) return not('a complication moved or changed the lens')
  const planned = plan.lens.lensLabel
  if (planned !== undefined && lens.label !== undefined && !sameLabel(planned, lens.label)) {
    return not('another lens was implanted than the plan computed')
  }
  if (plan.case.previousRefractiveSurgery?.value === true) return not('the cornea had refractive surgery')
  const errors = formulaErrors(plan, lens.powerD, achievedD)
  if (errors.length === 0) return not('no row of the plan counted, or none predicts for the implanted power')
  const eye = eyeForLens(plan.case, plan.lens.target.refractionD)
  const lensLabel = lens.label ?? planned
  if (!eye || lensLabel === undefined) return { errors }
  return { errors, implanted: { lensLabel, eye, powerD: lens.powerD, achievedD, constants: plan.lens.constants } }
}

const sameLabel = (one: string, other: string): boolean => one.trim().toLowerCase() === other.trim().toLowerCase()

function expectedRupture(plan: Plan): ExpectedRupture | undefined {
  const risk = plan.risks.find(({ id }) => id === CAPSULE_RUPTURE_MODEL)
  if (risk?.value === undefined) return undefined
  return {
    published: risk.value,
    recalibrated: risk.recalibrated.map(({ baseRate, value }) => ({ baseRate, value })),
    surgeonStated: risk.surgeon !== 'not stated',
  }
}

function troubleOf(complications: readonly Complication[] | undefined, { errors }: Compared): Trouble | undefined {
  const basis = errors.filter((error) => error.basis)
  const mean = basis.reduce((sum, { errorD }) => sum + errorD, 0) / basis.length
  const surprise = complications?.includes('refractive-surprise') === true || Math.abs(mean) > SURPRISE_FROM_D
  const complication = complications?.some((one) => one !== 'refractive-surprise' && !NO_TROUBLE.includes(one)) ?? false
  return complications === undefined && !surprise ? undefined : { complication, surprise }
}
