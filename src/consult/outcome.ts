import { z } from 'zod'
import { lensPower, refraction, signed } from '../terms/power.js'

/** When an outcome is looked at. Refraction is settled enough to judge from four to six weeks (common practice, no source). */
export const OUTCOME_STAGES = ['operation', 'first-weeks', 'four-to-six-weeks', 'twelve-months', 'near-miss'] as const
export type OutcomeStage = (typeof OUTCOME_STAGES)[number]

export const STAGE_WORDS: Readonly<Record<OutcomeStage, string>> = {
  operation: 'Operation',
  'first-weeks': 'First weeks',
  'four-to-six-weeks': 'Four to six weeks',
  'twelve-months': 'Twelve months',
  'near-miss': 'Near miss',
}

/** Complications in the trade's terms, in the order of the operation and what follows it. */
export const COMPLICATIONS = [
  'globe-perforation',
  'retrobulbar-haemorrhage',
  'wound-burn',
  'descemet-membrane-detachment',
  'iris-prolapse',
  'iris-trauma',
  'anterior-capsule-tear',
  'posterior-capsule-rupture',
  'vitreous-loss',
  'zonular-dialysis',
  'dropped-nucleus',
  'suprachoroidal-haemorrhage',
  'wrong-lens-implanted',
  'lens-damaged',
  'wound-leak',
  'hyphaema',
  'raised-pressure',
  'corneal-oedema',
  'uveitis',
  'retained-lens-matter',
  'toxic-anterior-segment-syndrome',
  'endophthalmitis',
  'cystoid-macular-oedema',
  'lens-dislocation',
  'refractive-surprise',
  'retinal-tear',
  'retinal-detachment',
  'corneal-decompensation',
  'posterior-capsule-opacification',
  'death-or-systemic-emergency',
] as const
export type Complication = (typeof COMPLICATIONS)[number]

/** "posterior-capsule-rupture" as it is read. */
export const complicationWords = (complication: Complication): string => complication.replaceAll('-', ' ')

/** To what the operation was converted; `none` says that it was not. */
export const CONVERSIONS = ['none', 'manual-small-incision', 'extracapsular', 'pars-plana-vitrectomy', 'abandoned'] as const

export const outcomeSchema = z.strictObject({
  stage: z.enum(OUTCOME_STAGES),
  /** Day of the operation or of the visit, ISO date; absent: not stated. */
  on: z.iso.date().optional(),
  /** The lens that was implanted; its power signed. */
  lens: z.strictObject({ powerD: z.number(), label: z.string().max(200).optional() }).optional(),
  /** Spherical equivalent at the spectacle plane, dioptres, signed. */
  refractionD: z.number().min(-30).max(30).optional(),
  /** As written: Snellen, decimal or logMAR. */
  acuity: z.string().max(40).optional(),
  /** Empty: none occurred. Absent: nothing was said about them. */
  complications: z.array(z.enum(COMPLICATIONS)).optional(),
  conversion: z.enum(CONVERSIONS).optional(),
  /** Ultrasound used. */
  energy: z
    .strictObject({
      ultrasoundSeconds: z.number().min(0).max(3600).optional(),
      effectivePhacoSeconds: z.number().min(0).max(3600).optional(),
    })
    .optional(),
  endothelialCellsPerMm2: z.number().min(0).max(6000).optional(),
  pressureMmHg: z.number().min(0).max(90).optional(),
  note: z.string().max(2000).optional(),
})
export type Outcome = z.infer<typeof outcomeSchema>

/** A spherical equivalent comes in eighths of a dioptre: it is read back as it was recorded. */
const asMeasured = (refractionD: number): string =>
  Math.round(refractionD * 1000) % 10 === 0 ? refraction(refractionD) : `${signed(refractionD, 3)} D`

/** An outcome in one line; what was not said stands nowhere. */
export function outcomeInWords(outcome: Outcome): string {
  const { lens, refractionD, acuity, complications, conversion, energy } = outcome
  const seconds = (name: string, value: number | undefined): readonly string[] =>
    value === undefined ? [] : [`${name} ${value} s`]
  return [
    outcome.on === undefined ? STAGE_WORDS[outcome.stage] : `${STAGE_WORDS[outcome.stage]}, ${outcome.on}`,
    ...(lens === undefined ? [] : [`lens ${lensPower(lens.powerD)}${lens.label === undefined ? '' : ` ${lens.label}`}`]),
    ...(refractionD === undefined ? [] : [`refraction ${asMeasured(refractionD)}`]),
    ...(acuity === undefined ? [] : [`acuity ${acuity}`]),
    ...(complications === undefined
      ? []
      : [complications.length === 0 ? 'no complication' : `complications: ${complications.map(complicationWords).join(', ')}`]),
    ...(conversion === undefined
      ? []
      : [conversion === 'none' ? 'not converted' : `converted: ${conversion.replaceAll('-', ' ')}`]),
    ...seconds('ultrasound', energy?.ultrasoundSeconds),
    ...seconds('effective phaco time', energy?.effectivePhacoSeconds),
    ...(outcome.endothelialCellsPerMm2 === undefined ? [] : [`cell density ${outcome.endothelialCellsPerMm2} cells/mm²`]),
    ...(outcome.pressureMmHg === undefined ? [] : [`pressure ${outcome.pressureMmHg} mmHg`]),
    ...(outcome.note === undefined ? [] : [outcome.note]),
  ].join(' · ')
}
