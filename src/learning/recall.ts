import type { AskedConsult } from '../consult/consult.js'
import type { Person } from '../consult/people.js'
import type { FormulaRow, Plan } from '../plan/plan.js'
import { ADJUSTMENT_NAMES, ADJUSTMENTS, type AdjustmentId, FORMULA_NAMES, type FormulaId } from '../terms/formulas.js'
import { lensPower, signed } from '../terms/power.js'
import type { PublishedModel } from '../terms/published-model.js'
import type { LensConstantName } from './corrected.js'

/** What was found wrong. */
export type Wrong =
  | { readonly kind: 'rule'; readonly id: string }
  | { readonly kind: 'formula'; readonly id: FormulaId }
  | { readonly kind: 'coefficient'; readonly models: readonly MatchedModel[] }
  /** A constant of a lens, as the lens list had it. */
  | { readonly kind: 'lens-constant'; readonly label: string; readonly name: LensConstantName }

/** A model with those of its numbers that were meant. */
export interface MatchedModel {
  readonly id: string
  readonly model: string
  readonly coefficients: readonly string[]
}

/** Where in a plan something wrong stood. Sentences, the gravest first; empty where it did not stand anywhere. */
export interface Touch {
  readonly stoodOn: readonly string[]
  /** Whether a reader of the plan was told something by it. */
  readonly shown: boolean
}

const NOWHERE: Touch = { stoodOn: [], shown: false }

/** The models and numbers that a text names: by a model's id or name, or by a part of a coefficient's name. */
export function modelsNamed(text: string, models: readonly PublishedModel[]): readonly MatchedModel[] {
  const wanted = text.trim().toLowerCase()
  if (wanted === '') return []
  return models.flatMap(({ id, model, coefficients }): readonly MatchedModel[] => {
    if (id === wanted || model.toLowerCase() === wanted)
      return [{ id, model, coefficients: coefficients.map(({ name }) => name) }]
    const named = coefficients.filter(({ name }) =>
      [`${id} ${model} ${name}`, `${id} ${name}`].some((one) => one.toLowerCase().includes(wanted)),
    )
    return named.length === 0 ? [] : [{ id, model, coefficients: named.map(({ name }) => name) }]
  })
}

/** Where in a stored plan the wrong thing stood. Nothing is computed anew. */
export function touchOf(plan: Plan, wrong: Wrong): Touch {
  if (wrong.kind === 'rule') return ruleTouch(plan, wrong.id)
  if (wrong.kind === 'formula') return rowsTouch(plan, FORMULA_NAMES[wrong.id], ({ formula }) => formula === wrong.id)
  if (wrong.kind === 'lens-constant') return constantTouch(plan, wrong)
  return wrong.models.map((model) => modelTouch(plan, model)).reduce(joined, NOWHERE)
}

const joined = (one: Touch, other: Touch): Touch => ({
  stoodOn: [...one.stoodOn, ...other.stoodOn],
  shown: one.shown || other.shown,
})

function ruleTouch(plan: Plan, id: string): Touch {
  const tension = plan.tensions.find((one) => one.id === id)
  if (tension) return { stoodOn: [`the tension was put to colleagues: ${tension.question}`], shown: true }
  const rule = plan.precautions.find((one) => one.id === id)
  if (!rule) return NOWHERE
  switch (rule.finding) {
    case 'fires':
      return { stoodOn: [`${rule.indicator} precaution shown: ${rule.text}`], shown: true }
    case 'unknown':
      return { stoodOn: [`asked for: ${rule.ask ?? rule.missingFacts.join(', ')}`], shown: true }
    case 'quiet':
      return { stoodOn: ['the precaution was quiet'], shown: false }
  }
}

function rowsTouch(plan: Plan, name: string, isOf: (row: FormulaRow) => boolean): Touch {
  const rows = plan.lens.formulas.filter(isOf)
  if (rows.length === 0) return NOWHERE
  const { recommended } = plan.lens
  if (recommended && rows.some(({ basis }) => basis)) {
    return {
      stoodOn: [`the lens recommended, ${lensPower(recommended.powerD)}, stood on ${name}; ${without(plan, isOf)}`],
      shown: true,
    }
  }
  if (rows.some((row) => row.counts)) return { stoodOn: [`${name} stood beside the recommendation`], shown: true }
  return { stoodOn: [`${name} was set aside for this eye`], shown: false }
}

/** What the rows that the recommendation stood on ask for when these are left out. */
function without(plan: Plan, isOf: (row: FormulaRow) => boolean): string {
  const powers = plan.lens.formulas.flatMap((row) =>
    row.basis && !isOf(row) && row.powerForTargetD !== undefined ? [row.powerForTargetD] : [],
  )
  if (powers.length === 0) return 'it stood on nothing else'
  const [low, high] = [Math.min(...powers), Math.max(...powers)]
  const range = high - low < 0.005 ? hundredths(low) : `${hundredths(low)} to ${hundredths(high)}`
  return `the other rows that it stood on ask for ${range} for the target`
}

/** Not a power that is made but one that a formula asks for: always to hundredths. */
const hundredths = (powerD: number): string => `${signed(powerD, 2)} D`

/** The constants of a message are its own: the list's fault does not reach them. */
function constantTouch(plan: Plan, { label, name }: Extract<Wrong, { kind: 'lens-constant' }>): Touch {
  const isIt = (one: string | undefined): boolean => one?.trim().toLowerCase() === label.trim().toLowerCase()
  const { lens } = plan
  const shown = lens.constants.find((one) => one.name === name && one.origin.startsWith('lens list'))
  const backup = lens.backup !== undefined && isIt(lens.backup.label) ? [`the backup lens ${label} stood on it`] : []
  if (!isIt(lens.lensLabel) || shown === undefined) return { stoodOn: backup, shown: backup.length > 0 }
  const recommended = lens.recommended ? `, and ${lensPower(lens.recommended.powerD)} was recommended` : ''
  return { stoodOn: [`computed for ${label} with ${name} ${shown.value} of the lens list${recommended}`, ...backup], shown: true }
}

function modelTouch(plan: Plan, { id, model }: MatchedModel): Touch {
  const adjustment = ADJUSTMENTS.find((one): one is Exclude<AdjustmentId, 'none'> => one === id && one !== 'none')
  if (adjustment) return rowsTouch(plan, ADJUSTMENT_NAMES[adjustment], (row) => row.adjustment === adjustment)
  const stands = ROWS_BY_MODEL[id]
  if (stands) return rowsTouch(plan, model, stands)
  const risk = plan.risks.find((one) => one.id === id)
  if (risk) return { stoodOn: [`risk shown: ${risk.words}`], shown: risk.value !== undefined || risk.band !== undefined }
  const figure = plan.surgery.find((one) => one.id === id)
  if (figure) return { stoodOn: [`figure shown: ${figure.words}`], shown: figure.outOfRange === undefined }
  if (id === 'error-budget' && plan.lens.forecast) return { stoodOn: ['the forecast of the refraction stood on it'], shown: true }
  if (id.startsWith('posterior-cornea') && plan.lens.toric) return { stoodOn: ['the toric lens stood on it'], shown: true }
  return NOWHERE
}

/** The rows that stand on a model: T2 takes the optics of SRK/T, and a formula without its own constant a relation. */
const ROWS_BY_MODEL: Readonly<Partial<Record<string, (row: FormulaRow) => boolean>>> = {
  'srk-t': ({ formula }) => formula === 'srk-t' || formula === 't2',
  t2: ({ formula }) => formula === 't2',
  'holladay-1': ({ formula }) => formula === 'holladay-1',
  'hoffer-q': ({ formula }) => formula === 'hoffer-q',
  haigis: ({ formula }) => formula === 'haigis',
  'acd-constant-from-a': (row) => row.formula === 'srk-t' || row.formula === 't2' || converted(row, 'haigis'),
  'surgeon-factor-from-a': (row) => converted(row, 'holladay-1') || converted(row, 'hoffer-q'),
  'surgeon-factor-from-acd': (row) => converted(row, 'hoffer-q'),
  'haigis-start-from-a': (row) => converted(row, 'haigis'),
}

const converted = ({ formula, flags }: FormulaRow, of: FormulaId): boolean =>
  formula === of && flags.some(({ code }) => code === 'constant-converted' || code === 'haigis-not-optimised')

export interface ConcernedPerson {
  readonly person: Person
  /** In what part: asked, answered, decided, recorded the outcome, has an open task. */
  readonly parts: readonly string[]
}

/** Everybody whose name stands in a consult, with what they did in it; the asker first. */
export function peopleOf(consult: AskedConsult): readonly ConcernedPerson[] {
  const parts: readonly (readonly [Person, string])[] = [
    [consult.askedBy, 'asked'],
    ...consult.askedBefore.map((person) => [person, 'asked before'] as const),
    ...consult.opinions.map(({ by }) => [by, 'gave an opinion'] as const),
    ...consult.decisions.map(({ by }) => [by, 'decided'] as const),
    ...consult.outcomes.map(({ by }) => [by, 'recorded the outcome'] as const),
    ...consult.comments.map(({ by }) => [by, 'wrote in the thread'] as const),
  ]
  const people = new Map<string, { readonly person: Person; readonly parts: Set<string> }>()
  for (const [person, part] of parts) {
    const known = people.get(person.id) ?? { person, parts: new Set<string>() }
    known.parts.add(part)
    people.set(person.id, known)
  }
  return [...people.values()].map(({ person, parts: did }) => ({ person, parts: [...did] }))
}

/** What was decided in a consult that a wrong rule or lens speaks to. */
export function decidedOn(consult: AskedConsult, plan: Plan, wrong: Wrong): readonly string[] {
  const decision = consult.decisions.at(-1)?.decision
  if (!decision) return []
  const overridden = wrong.kind === 'rule' ? decision.overrides.find(({ precaution }) => precaution === wrong.id) : undefined
  const { recommended } = plan.lens
  const chosen = decision.lens
  return [
    ...(overridden ? ['it was decided not to follow this precaution'] : []),
    ...(wrong.kind !== 'rule' && chosen && recommended
      ? [
          chosen.powerD === recommended.powerD
            ? `the lens decided on is the one recommended, ${lensPower(chosen.powerD)}`
            : `another lens was decided on than recommended, ${lensPower(chosen.powerD)}`,
        ]
      : []),
  ]
}
