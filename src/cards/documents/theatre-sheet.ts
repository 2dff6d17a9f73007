import { readBack } from '../../consult/signed-power.js'
import type { Plan } from '../../plan/plan.js'
import { lensPower, refraction } from '../../terms/power.js'
import { STEPS } from '../../terms/steps.js'
import { type Advice, adviceForThisEye, byHarm } from '../advice.js'
import type { Block, Card, Section } from '../card.js'
import { eyeInWords } from '../case-words.js'
import { footerOf } from '../consult-card.js'
import { capitalised, dayInWords, refractionRange } from '../figures.js'
import { whyNoLens } from '../first-lens.js'
import { taskInWords } from '../note-cards.js'
import { personInWords } from '../people-words.js'
import { drawing, INK, label as textAt } from '../svg.js'
import { WORDS } from '../words-en.js'
import { LENS_WORDS } from '../words-lens-en.js'
import type { DocumentConsult } from './document-input.js'
import { documentCard, fact, factIf, line, list, section, setAsideBecause, standing, standingDecision } from './document-parts.js'
import { kitFor } from './theatre-kit.js'
import { DOCUMENT_WORDS } from './words-documents-en.js'

const W = DOCUMENT_WORDS.theatre
const LABEL = { width: 720, height: 260 } as const
const NOT_STATED_AT_MOST = 8

/** An empty frame: the patient's label is stuck on the paper, never typed. */
const labelBox: Block = {
  kind: 'picture',
  svg: drawing(LABEL, [
    `<rect x="6" y="6" width="${LABEL.width - 12}" height="${LABEL.height - 12}" fill="#ffffff" stroke="${INK}" stroke-width="4" />`,
    textAt({ x: 26, y: 46 }, W.label),
  ]),
  alternative: W.labelAlternative,
}

const samePower = (oneD: number | undefined, otherD: number | undefined): boolean =>
  oneD !== undefined && otherD !== undefined && Math.abs(oneD - otherD) < 0.001

/** The lens that is to go in, decided or else recommended, and what is known of its availability. */
interface MainLens {
  readonly powerD: number
  readonly label?: string | undefined
  readonly availability: string
  readonly decided: boolean
}

function mainLens(consult: DocumentConsult, plan: Plan): MainLens | undefined {
  const pick = plan.lens.recommended
  const decided = standingDecision(consult)?.decision.lens
  const ordering = pick?.ordering?.by === undefined ? '' : `, ${W.orderBy(dayInWords(pick.ordering.by))}`
  const supply =
    pick === undefined
      ? ''
      : `${pick.supply === 'to-order' && pick.orderDays !== undefined ? WORDS.orderDays(pick.orderDays) : W.supply[pick.supply]}${ordering}`
  if (decided !== undefined) {
    const label = decided.label ?? plan.lens.lensLabel
    const asPlanned =
      samePower(pick?.powerD, decided.powerD) && (decided.label === undefined || decided.label === plan.lens.lensLabel)
    return { powerD: decided.powerD, label, availability: asPlanned ? supply : W.notLookedUp, decided: true }
  }
  return pick === undefined
    ? undefined
    : { powerD: pick.powerD, label: plan.lens.lensLabel, availability: supply, decided: false }
}

function lensTable(plan: Plan, main: MainLens | undefined): readonly Block[] {
  const { backup } = plan.lens
  const power = main === undefined ? W.noPower : readBack(main.powerD)
  const name = (head: string, label: string | undefined): string => (label === undefined ? head : `${head}: ${label}`)
  const fixation = backup?.fixation === undefined ? '' : LENS_WORDS.fixation[backup.fixation]
  return [
    {
      kind: 'table',
      caption: W.lensCaption,
      columns: [...W.lensColumns],
      rows: [
        [name(W.main, main?.label), power, W.bag, main?.availability ?? W.notLookedUp],
        [name(W.spare, main?.label), power, W.bag, W.spareSupply],
        [
          name(W.backup, backup?.label),
          backup?.lens === undefined ? W.noPower : readBack(backup.lens.powerD),
          fixation,
          backup?.lens === undefined ? W.notLookedUp : W.supply[backup.lens.supply],
        ],
      ],
    },
  ]
}

function lensBlocks(consult: DocumentConsult, plan: Plan): readonly Block[] {
  const main = mainLens(consult, plan)
  const { lens } = plan
  const pick = lens.recommended
  const target = `${refraction(lens.target.refractionD)}${lens.target.stated ? '' : ` (${WORDS.targetAssumed})`}`
  const leaves =
    pick !== undefined && samePower(main?.powerD, pick.powerD) ? refractionRange(pick.leaves.lowD, pick.leaves.highD) : undefined
  const noLens = main === undefined ? capitalised(whyNoLens(lens)) : undefined
  const departs = main?.decided === true && pick !== undefined && !samePower(pick.powerD, main.powerD)
  return [
    ...(main?.decided === true ? [] : [line(W.notDecided, 'strong')]),
    ...lensTable(plan, main),
    fact(W.target, leaves === undefined ? target : `${target} · ${W.leaves.toLowerCase()} ${leaves}`),
    ...(departs ? [line(DOCUMENT_WORDS.planDiffers(readBack(main.powerD), readBack(pick.powerD)), 'strong')] : []),
    ...factIf(WORDS.noLens, noLens),
    ...(main?.availability === W.supply['in-stock'] ? [] : [fact(W.prepare, W.prepareLens)]),
    ...(lens.backup?.lens === undefined ? factIf(W.prepare, lens.backup?.prepare) : []),
  ]
}

/** Where the same advice fires at several steps it stands at its gravest; consent has a document of its own. */
const inTheatre = (plan: Plan): readonly Advice[] =>
  adviceForThisEye(plan)
    .filter(({ lead }) => lead.step !== 'consent')
    .sort((one, other) => STEPS.indexOf(one.lead.step) - STEPS.indexOf(other.lead.step) || byHarm(one.lead, other.lead))

function precautionBlocks(consult: DocumentConsult, plan: Plan): readonly Block[] {
  const decision = standingDecision(consult)?.decision
  const advice = inTheatre(plan)
  if (advice.length === 0) return [line(W.noPrecautions)]
  return advice.map((one): Block => {
    const { lead } = one
    const because = setAsideBecause(one, decision)
    const why = because === undefined ? {} : { why: `${W.setAside}: ${because}` }
    return { kind: 'caution', indicator: lead.indicator, step: lead.step, text: lead.text, ...why }
  })
}

function planBlocks(consult: DocumentConsult): readonly Block[] {
  const decision = standingDecision(consult)?.decision
  return [
    fact(W.planA, decision?.planA ?? W.toWrite),
    fact(W.planB, decision?.planB ?? W.toWrite),
    fact(W.trigger, decision?.trigger ?? W.toWrite),
    fact(W.operates, decision?.operates ?? W.toWrite),
  ]
}

function taskBlocks({ tasks }: DocumentConsult, plan: Plan): readonly Block[] {
  const open = tasks.filter(({ done }) => done === undefined)
  const missing = plan.gaps
    .filter(({ state }) => state === 'missing')
    .map(({ fact: key, label }) => WORDS.shortFact[key] ?? label)
  const named = missing.slice(0, NOT_STATED_AT_MOST).join(', ')
  return [
    ...(open.length === 0 ? [line(W.noTask)] : list(open.map((task) => W.box(taskInWords(task))))),
    ...factIf(
      W.notStated,
      missing.length === 0 ? undefined : WORDS.andMore(named, missing.length - Math.min(missing.length, NOT_STATED_AT_MOST)),
    ),
  ]
}

function kitBlocks(plan: Plan): readonly Block[] {
  const { have, settle } = kitFor(plan)
  return [...list(have.map(W.box)), ...factIf(W.settle, settle.join('; '))]
}

function pauseBlocks(consult: DocumentConsult, plan: Plan): readonly Block[] {
  const main = mainLens(consult, plan)
  const eye = eyeInWords(plan.case).toUpperCase()
  const lens = main === undefined ? W.noLens : lensPower(main.powerD)
  const target = refraction(plan.lens.target.refractionD)
  const pause = (head: string, items: readonly string[]): readonly Block[] => [line(head, 'strong'), ...list(items.map(W.box))]
  return [
    ...pause(W.signIn, W.onSignIn(eye, lens)),
    ...pause(W.timeOut, W.onTimeOut(eye, lens, target)),
    ...pause(W.signOut, W.onSignOut),
    line(W.pausesSource, 'quiet'),
  ]
}

const sections = (consult: DocumentConsult, plan: Plan): readonly Section[] => [
  ...section('lenses', W.lens, lensBlocks(consult, plan)),
  ...section('plan', W.plan, planBlocks(consult)),
  ...section('tasks', W.tasks, taskBlocks(consult, plan)),
  ...section('kit', W.kit, kitBlocks(plan)),
  ...section('precautions', W.precautions, precautionBlocks(consult, plan)),
  ...section('pauses', W.pauses, pauseBlocks(consult, plan)),
]

/**
 * One page for theatre: a blank box for the patient label, the eye, the lenses with their signs, what to have at hand,
 * the precautions in the order of the operation, plan B, open tasks and the three pauses of the checklist.
 * It never stands in for the original biometry and says so.
 */
export function theatreSheet(consult: DocumentConsult, plan: Plan): Card {
  return documentCard(
    plan,
    { title: [W.name, consult.ref], summary: W.summary(consult.ref), footer: footerOf(plan) },
    [
      labelBox,
      line(W.about(consult.revision, personInWords(consult.askedBy), dayInWords(consult.askedAt))),
      line(W.check, 'strong'),
      ...standing(consult),
    ],
    sections(consult, plan).map((one) => ({ ...one, title: capitalised(one.title) })),
  )
}
