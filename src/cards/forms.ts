import { URGENCY_WORDS } from '../consult/asking.js'
import type { AskedConsult } from '../consult/consult.js'
import { type Asking, URGENCIES } from '../consult/events.js'
import { OPINION_WORDS, OPINIONS } from '../consult/opinion.js'
import { COMPLICATIONS, CONVERSIONS, complicationWords, OUTCOME_STAGES, STAGE_WORDS } from '../consult/outcome.js'
import { stageDue } from '../consult/outcome-due.js'
import type { Plan } from '../plan/plan.js'
import { lensPower } from '../terms/power.js'
import { STEPS } from '../terms/steps.js'
import { capitalised } from './figures.js'
import type { Form, FormAbout, FormField } from './form.js'
import { WORDS } from './words-en.js'
import { FORM_WORDS } from './words-forms-en.js'

type Options = NonNullable<FormField['options']>
type Rest = Partial<Omit<FormField, 'id' | 'label' | 'kind'>>

const field = (id: string, kind: FormField['kind'], label: string, rest: Rest = {}): FormField => ({
  id,
  kind,
  label,
  required: false,
  ...rest,
})
const optionsOf = <Value extends string>(values: readonly Value[], say: (value: Value) => string): Options =>
  values.map((value) => ({ value, label: say(value) }))
const valued = (value: string | undefined): { readonly value?: string } => (value === undefined || value === '' ? {} : { value })

export interface AskPrefill {
  /** The message as it was typed or pasted. */
  readonly text?: string
  readonly asking?: Asking
  readonly surgeryDate?: string
  readonly channel?: string
}

/** Puts a case: what was pasted stands in it, and its preview is shown before anything is posted. */
export function askForm(about: FormAbout, { text, asking = {}, surgeryDate, channel }: AskPrefill): Form {
  const words = FORM_WORDS.ask
  const hide = asking.hideUntil === undefined ? 'no' : String(asking.hideUntil)
  return {
    id: 'ask',
    title: words.title,
    about,
    intro: words.intro,
    fields: [
      field('text', 'text', words.text, { hint: words.textHint, required: true, ...valued(text) }),
      field('channel', 'channel', words.channel, valued(channel)),
      field('asked', 'people', words.asked, { hint: words.askedHint, ...valued(asking.asked?.join(',')) }),
      field('urgency', 'choice', words.urgency, {
        options: optionsOf(URGENCIES, (urgency) => URGENCY_WORDS[urgency]),
        value: asking.urgency ?? 'routine',
        required: true,
      }),
      field('surgeryDate', 'date', words.surgeryDate, valued(asking.surgeryDate ?? surgeryDate)),
      field('hideUntil', 'choice', words.hide, {
        options: optionsOf(['no', '2', '3', '4', 'asker-lifts'], (value) => words.hideOptions[value]),
        value: hide,
        required: true,
      }),
      field('deputy', 'people', words.deputy, { hint: words.deputyHint, ...valued(asking.deputy) }),
    ],
    submit: words.submit,
  }
}

/** An opinion with the steps it concerns, a sentence, and what would change the colleague's mind. */
export function opinionForm(about: FormAbout, consult: AskedConsult, by: string): Form {
  const words = FORM_WORDS.opinion
  const mine = consult.opinions.find((given) => given.by.id === by)?.opinion
  return {
    id: 'opinion',
    title: words.title,
    about,
    ...(consult.question === undefined ? {} : { intro: `“${consult.question}”` }),
    fields: [
      field('opinion', 'choice', words.opinion, {
        options: optionsOf(OPINIONS, (kind) => OPINION_WORDS[kind]),
        required: true,
        ...valued(mine?.kind),
      }),
      field('sentence', 'text', words.sentence, valued(mine?.sentence)),
      field('steps', 'choices', words.steps, {
        options: optionsOf(STEPS, (step) => capitalised(WORDS.steps[step])),
        ...valued(mine?.steps.join(',')),
      }),
      field('wouldChangeMind', 'line', words.wouldChangeMind, valued(mine?.wouldChangeMind)),
    ],
    submit: words.submit,
  }
}

export function changeForm(about: FormAbout, written: string): Form {
  const words = FORM_WORDS.change
  return {
    id: 'change',
    title: words.title,
    about,
    intro: `${words.intro}\n${written}`,
    fields: [field('items', 'text', words.items, { hint: words.itemsHint, required: true })],
    submit: words.submit,
  }
}

// A modal holds a hundred blocks at most; no eye fires that many critical precautions, and what is over is typed.
const OVERRIDES_AT_MOST = 20

/** The decision. The lens power is typed with its sign, never filled in: the recommendation stands beside it. */
export function decideForm(
  about: FormAbout,
  { opinions, decisions }: AskedConsult,
  plan: Plan,
  critical: readonly { readonly id: string; readonly text: string }[],
): Form {
  const words = FORM_WORDS.decide
  const former = decisions.at(-1)?.decision
  const pick = plan.lens.recommended
  return {
    id: 'decide',
    title: words.title,
    about,
    fields: [
      field('planA', 'text', words.planA, { required: true, ...valued(former?.planA) }),
      field('planB', 'text', words.planB, valued(former?.planB)),
      field('trigger', 'line', words.trigger, { hint: words.triggerHint, ...valued(former?.trigger) }),
      field('operates', 'line', words.operates, { required: true, ...valued(former?.operates ?? plan.case.surgeonGrade?.value) }),
      field('lens', 'line', words.lens, {
        hint: pick === undefined ? words.lensHint : words.lensRecommended(lensPower(pick.powerD)),
      }),
      field('lensBecause', 'line', words.lensBecause, { hint: words.lensBecauseHint }),
      ...(opinions.length === 0
        ? []
        : [
            field('follows', 'choices', words.follows, {
              options: opinions.map(({ by, opinion }) => ({ value: by.id, label: `${by.name}: ${OPINION_WORDS[opinion.kind]}` })),
            }),
          ]),
      ...opinions.map(({ by }) =>
        field(`depart:${by.id}`, 'line', shortened(words.departs(by.name)), { hint: words.departsHint }),
      ),
      ...critical
        .slice(0, OVERRIDES_AT_MOST)
        .map(({ id, text }) =>
          field(`override:${id}`, 'line', shortened(words.overrides(text)), { hint: words.overridesHint(text) }),
        ),
    ],
    submit: words.submit,
  }
}

const LABEL_AT_MOST = 75
const shortened = (label: string): string =>
  label.length <= LABEL_AT_MOST ? label : `${label.slice(0, LABEL_AT_MOST - 1).trimEnd()}…`

export function outcomeForm(about: FormAbout, consult: AskedConsult, today: string): Form {
  const words = FORM_WORDS.outcome
  const decided = consult.decisions.at(-1)?.decision.lens
  return {
    id: 'outcome',
    title: words.title,
    about,
    fields: [
      field('stage', 'choice', words.stage, {
        options: optionsOf(OUTCOME_STAGES, (stage) => STAGE_WORDS[stage]),
        value: stageDue(consult, today),
        required: true,
      }),
      field('on', 'date', words.on, { value: today }),
      field('lens', 'line', words.lens, {
        hint: decided === undefined ? words.signHint : words.lensDecided(lensPower(decided.powerD)),
      }),
      field('lensLabel', 'line', words.lensLabel),
      field('refraction', 'line', words.refraction, { hint: words.refractionHint }),
      field('acuity', 'line', words.acuity),
      field('complications', 'choices', words.complications, {
        options: [
          { value: 'none', label: words.none },
          ...optionsOf(COMPLICATIONS, (one) => capitalised(complicationWords(one))),
        ],
        hint: words.complicationsHint,
      }),
      field('conversion', 'choice', words.conversion, {
        options: optionsOf(CONVERSIONS, (one) => capitalised(one.replaceAll('-', ' '))),
      }),
      field('ultrasoundSeconds', 'line', words.ultrasound),
      field('effectivePhacoSeconds', 'line', words.effectivePhaco),
      field('endothelialCellsPerMm2', 'line', words.cells),
      field('pressureMmHg', 'line', words.pressure),
      field('note', 'text', words.note, { hint: words.noteHint }),
    ],
    submit: words.submit,
  }
}

const GAPS_AT_MOST = 20

export function taskForm(about: FormAbout, plan: Plan, taken: readonly string[]): Form {
  const words = FORM_WORDS.task
  const gaps = plan.gaps.filter(({ fact, task }) => task !== undefined && !taken.includes(fact)).slice(0, GAPS_AT_MOST)
  return {
    id: 'task',
    title: words.title,
    about,
    fields: [
      ...(gaps.length === 0
        ? []
        : [
            field('gap', 'choice', words.gap, {
              options: gaps.map(({ fact, task = '' }) => ({ value: fact, label: shortened(capitalised(task)) })),
            }),
          ]),
      field('what', 'line', words.what, {
        hint: gaps.length === 0 ? words.whatHint : words.whatInstead,
        required: gaps.length === 0,
      }),
      field('owner', 'people', words.owner),
      field('due', 'date', words.due),
    ],
    submit: words.submit,
  }
}
