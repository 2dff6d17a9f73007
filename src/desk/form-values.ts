import type { FormId } from '../cards/form.js'
import { isIsoDay } from '../consult/asking.js'
import { type Asking, URGENCIES } from '../consult/events.js'
import { OPINIONS, type Opinion } from '../consult/opinion.js'
import { COMPLICATIONS, outcomeSchema } from '../consult/outcome.js'
import { readRefraction, readSigned } from '../consult/signed-power.js'
import { stepsNamed } from '../consult/typed-answer.js'
import { STEPS } from '../terms/steps.js'

export type Values = Readonly<Record<string, string>>

/** What a field says, or undefined where it was left empty. */
export const valueIn = (values: Values, id: string): string | undefined => {
  const value = values[id]?.trim()
  return value === undefined || value === '' ? undefined : value
}

export const listIn = (values: Values, id: string): readonly string[] =>
  (valueIn(values, id) ?? '')
    .split(',')
    .map((part) => part.trim().replace(/^@/, ''))
    .filter((part) => part !== '')

const DATES = ['surgeryDate', 'on', 'due'] as const
const NUMBERS = ['ultrasoundSeconds', 'effectivePhacoSeconds', 'endothelialCellsPerMm2', 'pressureMmHg'] as const
const SIGNED = {
  lens: (written: string) => readSigned(written, 'lens power'),
  refraction: readRefraction,
} as const
const SINGLE = { deputy: 'stands in', owner: 'takes a task' } as const
const NEEDED: Readonly<Record<FormId, readonly string[]>> = {
  ask: ['text'],
  opinion: ['opinion'],
  change: ['items'],
  decide: ['planA', 'operates'],
  outcome: ['stage'],
  task: [],
}

/**
 * What is wrong with single answers, by field, so that a form can say it beside the field before it is sent. What depends
 * on the consult is judged when the form is taken in.
 * @param today ISO date; days that are past are looked at only where it is given
 */
export function formFaults(form: FormId, values: Values, today?: string): Readonly<Record<string, string>> {
  const faults: Record<string, string> = {}
  for (const id of NEEDED[form]) if (valueIn(values, id) === undefined) faults[id] = 'Please fill this in'
  for (const id of DATES) {
    const day = valueIn(values, id)
    if (day !== undefined && !isIsoDay(day)) faults[id] = `“${day}” is not a day. Write it like 2026-03-09`
    else if (id !== 'on' && day !== undefined && today !== undefined && day < today)
      faults[id] = `“${day}” is past: today is ${today}`
  }
  for (const [id, read] of Object.entries(SIGNED)) {
    const written = valueIn(values, id)
    const reading = written === undefined ? undefined : read(written)
    if (reading && 'problem' in reading) faults[id] = reading.problem
  }
  for (const id of NUMBERS) {
    const written = valueIn(values, id)
    if (written !== undefined && !Number.isFinite(numberIn(written))) faults[id] = `“${written}” is not a number`
  }
  const { planB, trigger } = { planB: valueIn(values, 'planB'), trigger: valueIn(values, 'trigger') }
  if (form === 'decide' && planB !== undefined && trigger === undefined)
    faults['trigger'] = 'A plan B needs what makes you change to it'
  if (form === 'task' && valueIn(values, 'what') === undefined && valueIn(values, 'gap') === undefined)
    faults['what'] = 'Say what is to be done'
  for (const [id, what] of Object.entries(SINGLE)) {
    const named = listIn(values, id)
    if (named.length > 1) faults[id] = `One person or group ${what}; ${named.length} are named`
  }
  const complications = listIn(values, 'complications')
  if (complications.includes('none') && complications.length > 1)
    faults['complications'] = 'None, or those that occurred: not both'
  return faults
}

const numberIn = (written: string): number => Number(written.replace(',', '.'))

export function askingIn(values: Values): Asking {
  const asked = listIn(values, 'asked')
  const deputy = listIn(values, 'deputy')[0]
  const urgency = URGENCIES.find((one) => one === valueIn(values, 'urgency'))
  const surgeryDate = valueIn(values, 'surgeryDate')
  const hide = valueIn(values, 'hideUntil')
  const hideUntil = hide === 'asker-lifts' ? hide : hide !== undefined && /^[2-9]$/.test(hide) ? Number(hide) : undefined
  return {
    ...(urgency === undefined ? {} : { urgency }),
    ...(surgeryDate === undefined ? {} : { surgeryDate }),
    ...(asked.length === 0 ? {} : { asked }),
    ...(hideUntil === undefined ? {} : { hideUntil }),
    ...(deputy === undefined ? {} : { deputy }),
  }
}

export function opinionIn(values: Values): Opinion | undefined {
  const kind = OPINIONS.find((one) => one === valueIn(values, 'opinion'))
  if (kind === undefined) return undefined
  const sentence = valueIn(values, 'sentence')
  const wouldChangeMind = valueIn(values, 'wouldChangeMind')
  const chosen = listIn(values, 'steps')
  const named = sentence === undefined ? [] : stepsNamed(sentence)
  return {
    kind,
    // Chosen ones count; where none was chosen, those that the sentence names.
    steps: STEPS.filter((step) => (chosen.length > 0 ? chosen.includes(step) : named.includes(step))),
    ...(sentence === undefined ? {} : { sentence }),
    ...(wouldChangeMind === undefined ? {} : { wouldChangeMind }),
  }
}

/** The outcome as the form says it; its values are judged by `outcomeSchema`. Only for values without faults. */
export function outcomeIn(values: Values): ReturnType<typeof outcomeSchema.safeParse> {
  const lens = signedIn(values, 'lens')
  const lensLabel = valueIn(values, 'lensLabel')
  const refractionD = signedIn(values, 'refraction')
  const listed = listIn(values, 'complications')
  const plain = (id: string): Record<string, string> => {
    const value = valueIn(values, id)
    return value === undefined ? {} : { [id]: value }
  }
  const number = (id: string): Record<string, number> => {
    const value = valueIn(values, id)
    return value === undefined ? {} : { [id]: numberIn(value) }
  }
  const energy = { ...number('ultrasoundSeconds'), ...number('effectivePhacoSeconds') }
  return outcomeSchema.safeParse({
    ...plain('stage'),
    ...plain('on'),
    ...plain('acuity'),
    ...plain('conversion'),
    ...plain('note'),
    ...number('endothelialCellsPerMm2'),
    ...number('pressureMmHg'),
    ...(lens === undefined ? {} : { lens: { powerD: lens, ...(lensLabel === undefined ? {} : { label: lensLabel }) } }),
    ...(refractionD === undefined ? {} : { refractionD }),
    ...(listed.length === 0 ? {} : { complications: COMPLICATIONS.filter((one) => listed.includes(one)) }),
    ...(Object.keys(energy).length === 0 ? {} : { energy }),
  })
}

export function signedIn(values: Values, id: keyof typeof SIGNED): number | undefined {
  const written = valueIn(values, id)
  const reading = written === undefined ? undefined : SIGNED[id](written)
  return reading && 'value' in reading ? reading.value : undefined
}
