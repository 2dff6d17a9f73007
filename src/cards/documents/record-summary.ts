import { outcomeInWords } from '../../consult/outcome.js'
import type { FormulaRow, Plan } from '../../plan/plan.js'
import { ADJUSTMENT_NAMES, ADJUSTMENTS, FORMULA_NAMES } from '../../terms/formulas.js'
import { lensPower, refraction, signed } from '../../terms/power.js'
import type { Block, Card } from '../card.js'
import { caseRows } from '../case-words.js'
import { footerOf } from '../consult-card.js'
import { asSentence, capitalised, dayInWords, refractionRange } from '../figures.js'
import { whyNoLens } from '../first-lens.js'
import { FIRST_RISKS, riskWithOrigin } from '../first-risks.js'
import { decisionBlocks, taskInWords } from '../note-cards.js'
import { gravestFirst, opinionInWords, personInWords } from '../people-words.js'
import { sourceBriefly } from '../sources.js'
import { CONSULT_WORDS } from '../words-consult-en.js'
import { WORDS } from '../words-en.js'
import { FIGURE_WORDS } from '../words-figures-en.js'
import type { DocumentConsult } from './document-input.js'
import {
  criticals,
  documentCard,
  fact,
  factIf,
  keptBack,
  line,
  list,
  section,
  setAsideBecause,
  standing,
  standingDecision,
} from './document-parts.js'
import { DOCUMENT_WORDS } from './words-documents-en.js'

const W = DOCUMENT_WORDS.record

/** Risks that a record needs: those told on the first screen and the retina's. */
const RECORDED_RISKS: readonly string[] = [...FIRST_RISKS, 'retinal-detachment', 'retinal-detachment-after-capsule-rupture']

function askedBlocks(consult: DocumentConsult): readonly Block[] {
  const { askedBy, askedAt, revision, status } = consult
  return [
    line(W.copied(consult.ref), 'strong'),
    ...standing(consult),
    fact(W.askedBy, personInWords(askedBy)),
    fact(W.asked, [dayInWords(askedAt), ...(revision > 1 ? [WORDS.revision(revision)] : [])].join(', ')),
    fact(W.status, CONSULT_WORDS.status[status]),
    fact(W.question, consult.question ?? W.noQuestion),
  ]
}

const UNIT_ASSUMED = /^\S+ assumed$/

/** Every stated value with its unit; the words it was read from stay in the chat. */
function eyeBlocks(plan: Plan): readonly Block[] {
  const rows = caseRows(plan.case).filter(({ label }) => label !== WORDS.question)
  const units = rows.filter(({ assumed }) => assumed !== undefined && UNIT_ASSUMED.test(assumed)).map(({ label }) => label)
  const values = rows.map(({ label, value, assumed }) => {
    const said = assumed === undefined || UNIT_ASSUMED.test(assumed) ? '' : ` (${WORDS.assumed(assumed)})`
    return `${label}: ${value}${said}`
  })
  return [line(values.join(' · ')), ...(units.length === 0 ? [] : [line(W.unitsAssumed(units.join(', ')), 'quiet')])]
}

const useOf = (row: FormulaRow): string => (row.basis ? WORDS.use.basis : row.counts ? WORDS.use.counts : WORDS.use.aside)

function formulaTable({ lens }: Plan): readonly Block[] {
  const { formulas, target } = lens
  if (formulas.length === 0) return []
  const columns = ADJUSTMENTS.filter((adjustment) => formulas.some((row) => row.adjustment === adjustment))
  const cell = (row: FormulaRow | undefined): string => {
    if (row === undefined) return WORDS.notComputed
    const power = row.powerForTargetD === undefined ? WORDS.undefinedPower : `${signed(row.powerForTargetD, 2)} D`
    return FIGURE_WORDS.atLength(power, row.axialLengthUsedMm.toFixed(2), useOf(row))
  }
  return [
    {
      kind: 'table',
      caption: W.formulas(refraction(target.refractionD)),
      columns: [W.formulaColumn, ...columns.map((adjustment) => capitalised(ADJUSTMENT_NAMES[adjustment]))],
      rows: [...new Set(formulas.map((row) => row.formula))].map((formula) => [
        FORMULA_NAMES[formula],
        ...columns.map((adjustment) => cell(formulas.find((row) => row.formula === formula && row.adjustment === adjustment))),
      ]),
    },
  ]
}

function lensBlocks(plan: Plan): readonly Block[] {
  const { lens } = plan
  const pick = lens.recommended
  const target = `${refraction(lens.target.refractionD)}${lens.target.stated ? '' : ` (${WORDS.targetAssumed})`}`
  const constants = lens.constants.map(
    (one) => `${FORMULA_NAMES[one.formula]} ${one.name} ${one.value}, ${WORDS.modality[one.modality]}, ${one.origin}`,
  )
  return [
    pick === undefined
      ? fact(W.recommended, `${W.none}: ${whyNoLens(lens)}`, true)
      : fact(
          W.recommended,
          [WORDS.lensFor(lensPower(pick.powerD), target), ...(lens.lensLabel === undefined ? [] : [lens.lensLabel])].join(' · '),
          true,
        ),
    ...(pick === undefined ? [] : [fact(W.leaves, refractionRange(pick.leaves.lowD, pick.leaves.highD))]),
    ...(pick?.leavesUnadjusted === undefined
      ? []
      : [fact(W.unadjusted, refractionRange(pick.leavesUnadjusted.lowD, pick.leavesUnadjusted.highD))]),
    ...(pick === undefined
      ? []
      : [fact(W.method, asSentence(`${capitalised(pick.standsOn)}${pick.awaitsPrint ? `; ${WORDS.awaitsPrint}` : ''}`))]),
    ...formulaTable(plan),
    ...factIf(W.constants, constants.join(' · ')),
    ...factIf(W.backup, lens.backup?.prepare),
  ]
}

const riskBlocks = (plan: Plan): readonly Block[] =>
  list(
    plan.risks
      .filter(({ id }) => RECORDED_RISKS.includes(id))
      .map((risk) => `${riskWithOrigin(risk)} [${sourceBriefly(risk.source)}]`),
  )

function cautionBlocks(consult: DocumentConsult, plan: Plan): readonly Block[] {
  const decision = standingDecision(consult)?.decision
  const items = criticals(plan).map((advice) => {
    const because = setAsideBecause(advice, decision)
    const words = `${capitalised(WORDS.steps[advice.lead.step])}: ${advice.lead.text}`
    return because === undefined ? words : `${words} ${W.setAside(because)}`
  })
  return items.length === 0 ? [line(W.noCautions)] : list(items)
}

function opinionBlocks(consult: DocumentConsult): readonly Block[] {
  const hidden = keptBack(consult)
  const comments = consult.comments.filter(({ deletedAt }) => deletedAt === undefined).length
  const given = gravestFirst(consult.opinions).map((one) => opinionInWords(one, consult.revision))
  return [
    ...(hidden === undefined ? (given.length === 0 ? [line(DOCUMENT_WORDS.noAnswer)] : list(given)) : [line(hidden)]),
    ...(comments === 0 ? [] : [line(W.comments(comments), 'quiet')]),
  ]
}

/** An override names a precaution by its id; a record is read without the plan beside it. */
function decidedBlocks(consult: DocumentConsult, plan: Plan): readonly Block[] {
  const made = standingDecision(consult)
  if (made === undefined) return [line(W.noDecision, 'strong')]
  const textOf = (id: string): string => plan.precautions.find((one) => one.id === id)?.text.replace(/\.$/, '') ?? id
  const overrides = made.decision.overrides.map(({ precaution, because }) => ({ precaution: textOf(precaution), because }))
  return [
    line(W.decidedBy(personInWords(made.by), dayInWords(made.at), made.revision)),
    ...decisionBlocks({ ...made.decision, overrides }),
  ]
}

function taskBlocks({ tasks }: DocumentConsult): readonly Block[] {
  const say = (which: typeof tasks): string => which.map(taskInWords).join('; ')
  const open = tasks.filter(({ done }) => done === undefined)
  return [
    fact(W.openTasks, open.length === 0 ? W.noTask : say(open), open.length > 0),
    ...factIf(W.doneTasks, say(tasks.filter(({ done }) => done !== undefined))),
  ]
}

function versionBlocks(plan: Plan): readonly Block[] {
  const { rulesApproved: approved } = plan.versions
  return [line(approved === undefined ? W.rulesNotApproved : W.rulesApproved(approved.by, approved.role, approved.on), 'quiet')]
}

/**
 * The consult as a text for the medical record, which the chat does not replace: the surgeon checks it and copies it in.
 * It holds no identifier of the patient and an age of 90 or more only as such; colleagues stand with grade and field.
 * Opinions that are still kept back are counted, not shown.
 */
export function recordSummary(consult: DocumentConsult, plan: Plan): Card {
  const outcomes = consult.outcomes.map(({ outcome }) => outcomeInWords(outcome))
  return documentCard(
    plan,
    { title: [W.name, consult.ref], summary: W.summary(consult.ref), footer: footerOf(plan) },
    askedBlocks(consult),
    [
      ...section('eye', W.numbers, eyeBlocks(plan)),
      ...section('lens', W.lens, lensBlocks(plan)),
      ...section('risks', W.risks, riskBlocks(plan)),
      ...section('cautions', W.cautions, cautionBlocks(consult, plan)),
      ...section('opinions', W.opinions, opinionBlocks(consult)),
      ...section('decision', W.decision, decidedBlocks(consult, plan)),
      ...section('tasks', W.tasks, taskBlocks(consult)),
      ...section('outcome', W.outcome, outcomes.length === 0 ? [line(W.noOutcome)] : list(outcomes)),
      ...section('versions', W.versions, versionBlocks(plan)),
    ],
  )
}
