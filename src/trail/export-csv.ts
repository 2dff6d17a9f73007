import { type AskedConsult, decisionOf, fold } from '../consult/consult.js'
import { OPINION_WORDS, OPINIONS } from '../consult/opinion.js'
import { complicationWords } from '../consult/outcome.js'
import type { Plan } from '../plan/plan.js'
import { lensPower, refraction } from '../terms/power.js'
import { type Chosen, chosenConsults, daysBetween } from './chosen-consults.js'
import { type Cell, csvRecord } from './csv.js'
import { type Pseudonyms, pseudonyms } from './pseudonyms.js'
import type { TrailReading } from './trail-store.js'

export interface CsvChoice extends Chosen {
  /** Colleagues by name; otherwise they are numbered anew in each export. */
  readonly names: boolean
}

/** One consult as a row sees it: what happened, and the plan of its present revision; no plan where it was erased. */
interface Told {
  readonly consult: AskedConsult
  readonly plan: Plan | undefined
  readonly called: Pseudonyms
}

type Column = readonly [title: string, cell: (told: Told) => Cell]

const fact = <Key extends keyof Plan['case']>(
  title: string,
  key: Key,
  cell: (value: NonNullable<Plan['case'][Key]>) => Cell,
): Column => [
  title,
  ({ plan }) => {
    const stated = plan?.case[key]
    return stated === undefined ? undefined : cell(stated as NonNullable<Plan['case'][Key]>)
  },
]

/** Days from the ask, never dates: an export says nothing of when a patient was in the clinic. */
const dayOf = ({ consult }: Told, when: string | undefined): Cell =>
  when === undefined ? undefined : daysBetween(consult.askedAt, when)

type Measured = 'lens' | 'refractionD' | 'acuity' | 'energy' | 'endothelialCellsPerMm2' | 'pressureMmHg'
const lastOutcome = ({ consult }: Told, part: Measured) =>
  consult.outcomes.findLast(({ outcome }) => outcome.stage !== 'near-miss' && outcome[part] !== undefined)?.outcome

/** Every complication that was recorded; "none" only where somebody said so. */
function complications({ consult }: Told): Cell {
  const said = consult.outcomes.flatMap(({ outcome }) => (outcome.complications === undefined ? [] : [outcome.complications]))
  const all = [...new Set(said.flat())]
  return said.length === 0 ? undefined : all.length === 0 ? 'none' : all.map(complicationWords).join('; ')
}

const fires = (plan: Plan | undefined, indicator: 'critical' | 'warning'): Cell =>
  plan?.precautions
    .filter((precaution) => precaution.finding === 'fires' && precaution.indicator === indicator && precaution.place === 'eye')
    .map(({ id }) => id)
    .join('; ')

/**
 * What a department reads of a consult. An empty cell means unknown or not stated, never "no" or "normal".
 * A lens power and a refraction stand twice: as words with their sign, for people, and as a number, for sums.
 */
const COLUMNS: readonly Column[] = [
  ['reference', ({ consult }) => consult.ref],
  ['asked by', ({ consult, called }) => called.person(consult.askedBy)],
  ['grade of asker', ({ consult }) => consult.askedBy.grade],
  ['status', ({ consult }) => consult.status],
  ['revision', ({ consult }) => consult.revision],
  fact('eye', 'eye', ({ value }) => value),
  fact('age', 'ageYears', ({ value }) => (value >= 90 ? '90+' : value)),
  fact('axial length mm', 'axialLengthMm', ({ value }) => value),
  fact('axial length by', 'axialLengthMethod', ({ value }) => value),
  fact('mean keratometry D', 'keratometry', ({ value }) => value.meanD),
  fact('flat keratometry D', 'keratometry', ({ value }) => value.flatD),
  fact('steep keratometry D', 'keratometry', ({ value }) => value.steepD),
  fact('anterior chamber depth mm', 'anteriorChamberDepthMm', ({ value }) => value),
  fact('lens thickness mm', 'lensThicknessMm', ({ value }) => value),
  fact('endothelial cells per mm2', 'endothelialCellDensityPerMm2', ({ value }) => value),
  fact('nucleus', 'nucleus', ({ value }) => `${value.scale} ${value.grade} (${value.band})`),
  fact('fundus view', 'fundusView', ({ value }) => value),
  fact('staphyloma', 'staphyloma', ({ value }) => value),
  [
    'target',
    ({ plan }) => plan && `target ${refraction(plan.lens.target.refractionD)}${plan.lens.target.stated ? '' : ' (not stated)'}`,
  ],
  ['target D', ({ plan }) => plan?.lens.target.refractionD],
  ['recommended lens', ({ plan }) => plan?.lens.recommended && `lens ${lensPower(plan.lens.recommended.powerD)}`],
  ['recommended lens D', ({ plan }) => plan?.lens.recommended?.powerD],
  ['critical precautions', ({ plan }) => fires(plan, 'critical')],
  ['warnings', ({ plan }) => fires(plan, 'warning')],
  ['question', ({ consult }) => consult.question],
  ...OPINIONS.map(
    (kind): Column => [
      `opinions: ${OPINION_WORDS[kind].toLowerCase()}`,
      ({ consult }) => consult.opinions.filter(({ opinion }) => opinion.kind === kind).length,
    ],
  ),
  ['first opinion, days from ask', (told) => dayOf(told, firstOpinionAt(told))],
  [
    'planned surgery, days from ask',
    (told) => dayOf(told, told.plan?.case.surgeryDate?.value ?? told.consult.asking.surgeryDate),
  ],
  ['tasks', ({ consult }) => consult.tasks.length],
  ['tasks done', ({ consult }) => consult.tasks.filter(({ done }) => done !== undefined).length],
  ['decided, days from ask', (told) => dayOf(told, decisionOf(told.consult)?.at)],
  ['decision', ({ consult }) => decisionOf(consult)?.decision.planA],
  ['lens decided', ({ consult }) => powerWords(decisionOf(consult)?.decision.lens?.powerD)],
  ['lens decided D', ({ consult }) => decisionOf(consult)?.decision.lens?.powerD],
  ['lens implanted', (told) => powerWords(lastOutcome(told, 'lens')?.lens?.powerD)],
  ['lens implanted D', (told) => lastOutcome(told, 'lens')?.lens?.powerD],
  ['refraction after', (told) => refractionWords(lastOutcome(told, 'refractionD')?.refractionD)],
  ['refraction after D', (told) => lastOutcome(told, 'refractionD')?.refractionD],
  ['refraction, days from ask', (told) => dayOf(told, lastOutcome(told, 'refractionD')?.on)],
  ['acuity after', (told) => lastOutcome(told, 'acuity')?.acuity],
  ['complications', complications],
  ['ultrasound s', (told) => lastOutcome(told, 'energy')?.energy?.ultrasoundSeconds],
  ['effective phaco time s', (told) => lastOutcome(told, 'energy')?.energy?.effectivePhacoSeconds],
  ['endothelial cells after per mm2', (told) => lastOutcome(told, 'endothelialCellsPerMm2')?.endothelialCellsPerMm2],
  ['pressure after mmHg', (told) => lastOutcome(told, 'pressureMmHg')?.pressureMmHg],
  ['near misses', ({ consult }) => consult.outcomes.filter(({ outcome }) => outcome.stage === 'near-miss').length],
  ['recalls', ({ consult }) => consult.recalls.length],
  ['rules', ({ plan }) => plan?.versions.rules],
  ['formulas', ({ plan }) => plan?.versions.formulas],
]

const powerWords = (powerD: number | undefined): Cell => (powerD === undefined ? undefined : `lens ${lensPower(powerD)}`)
const refractionWords = (valueD: number | undefined): Cell =>
  valueD === undefined ? undefined : `refraction ${refraction(valueD)}`

const firstOpinionAt = ({ consult }: Told): string | undefined =>
  consult.opinions
    .map(({ at, earlier }) => earlier[0]?.at ?? at)
    .toSorted()
    .at(0)

/** Tells a spreadsheet that the file is UTF-8, so that signs and accents are read as they were written. */
const BYTE_ORDER_MARK = '\ufeff'

/** One row a consult, with a first row of titles. One consult is held at a time. */
export async function* exportCsv(
  trail: Pick<TrailReading, 'links' | 'events' | 'plan'>,
  choice: CsvChoice,
): AsyncGenerator<string> {
  const called = pseudonyms(choice.names)
  yield `${BYTE_ORDER_MARK}${csvRecord(COLUMNS.map(([title]) => title))}`
  for await (const events of chosenConsults(trail, choice)) {
    const consult = fold(events)
    if (consult.status === 'not-asked') continue
    const plan = await trail.plan(consult.planHash)
    yield csvRecord(COLUMNS.map(([, cell]) => cell({ consult, plan, called })))
  }
}
