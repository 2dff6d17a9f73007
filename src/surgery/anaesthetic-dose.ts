import { computed, firstOutside, type Outcome, type OutsideDomain } from '../terms/outcome.js'
import type { PublishedModel } from '../terms/published-model.js'
import type { SurgeryStatement } from '../terms/surgery-statement.js'
import { type Kilograms, kg, type Milligrams, type Millilitres, mg, mL } from '../terms/units.js'
import type { SurgeryInput } from './surgery-input.js'

/**
 * Most that may be given at once, by infiltration, adults: mg/kg and a ceiling in mg that holds at any weight.
 * `ceiling` is the lowest printed or recalled one.
 */
export const MAXIMUM_DOSES = {
  'lidocaine plain': { perKg: 3, ceilingMg: 300, ceilingSureness: 'secondary' },
  'lidocaine with adrenaline': { perKg: 7, ceilingMg: 500, ceilingSureness: 'read' },
  bupivacaine: { perKg: 2, ceilingMg: 150, ceilingSureness: 'secondary' },
  levobupivacaine: { perKg: 2, ceilingMg: 150, ceilingSureness: 'secondary' },
  prilocaine: { perKg: 6, ceilingMg: 400, ceilingSureness: 'memory' },
  ropivacaine: { perKg: 3, ceilingMg: 225, ceilingSureness: 'memory' },
} as const
export type LocalAnaesthetic = keyof typeof MAXIMUM_DOSES

export const ANAESTHETIC_DOSE: PublishedModel = {
  id: 'anaesthetic-dose',
  about: 'Most local anaesthetic by weight',
  model: 'maximum regional doses',
  population: 'adults; less in the old, the frail, and in liver or heart disease',
  years: 'guideline in force when read',
  source: {
    cite: 'Therapeutic Guidelines (Australia), Toxicology and toxinology, local anaesthetics, table 1; ceilings from labels',
    sureness: 'read',
  },
  coefficients: Object.entries(MAXIMUM_DOSES).flatMap(([drug, { perKg, ceilingMg, ceilingSureness }]) => [
    {
      name: `${drug}, per kilogram`,
      value: perKg,
      unit: 'mg/kg',
      sureness: drug === 'levobupivacaine' ? ('secondary' as const) : ('read' as const),
    },
    { name: `${drug}, ceiling`, value: ceilingMg, unit: 'mg', sureness: ceilingSureness },
  ]),
}

const WEIGHT = { weight: { low: 25, high: 300, unit: 'kg' } }
/** Strengths of local anaesthetic solutions in use, weight by volume. */
const STRENGTH = { low: 0.1, high: 10, unit: '%' }

/**
 * Most of one drug at once: mg/kg × weight, never above its ceiling.
 * @param weight actual or, if obese, ideal body weight, 25–300 kg
 */
export function maximumDose(drug: LocalAnaesthetic, weight: Kilograms): Outcome<Milligrams> {
  const { perKg, ceilingMg } = MAXIMUM_DOSES[drug]
  return firstOutside({ weight }, WEIGHT) ?? computed(mg(Math.min(perKg * weight, ceilingMg)))
}

/** 1 % holds 10 mg in each millilitre. @param volume 0–100 mL @param percent 0.1–10 % */
export function milligramsIn(volume: Millilitres, percent: number): Outcome<Milligrams> {
  const outside = firstOutside({ volume, strength: percent }, { volume: { low: 0, high: 100, unit: 'mL' }, strength: STRENGTH })
  return outside ?? computed(mg(volume * percent * 10))
}

/** The volume that holds a dose. @param dose 0–2,000 mg @param percent 0.1–10 % */
export function millilitresFor(dose: Milligrams, percent: number): Outcome<Millilitres> {
  const outside = firstOutside({ dose, strength: percent }, { dose: { low: 0, high: 2000, unit: 'mg' }, strength: STRENGTH })
  return outside ?? computed(mL(dose / (percent * 10)))
}

export interface MixtureFraction {
  /** Sum of dose / maximum over the drugs: toxicities are taken to add. */
  readonly sum: number
  readonly parts: readonly { readonly drug: LocalAnaesthetic; readonly fraction: number }[]
  readonly withinMaximum: boolean
}

/**
 * How much of the maximum a mixture uses: the fractions of each drug's maximum are added and must not exceed 1.
 * The rule is a convention.
 * @param doses mg of each drug, at least one, each 0–2,000 mg
 */
export function mixtureFraction(
  doses: readonly { readonly drug: LocalAnaesthetic; readonly dose: Milligrams }[],
  weight: Kilograms,
): Outcome<MixtureFraction> {
  const count = firstOutside({ drugs: doses.length }, { drugs: { low: 1, high: 10, unit: 'drugs' } })
  if (count) return count
  const parts: { drug: LocalAnaesthetic; fraction: number }[] = []
  for (const { drug, dose } of doses) {
    const outside = firstOutside({ [`${drug} dose`]: dose as number }, { [`${drug} dose`]: { low: 0, high: 2000, unit: 'mg' } })
    if (outside) return outside
    const most: Outcome<Milligrams> = maximumDose(drug, weight)
    if (most.kind === 'outside-domain') return most
    parts.push({ drug, fraction: dose / most.value })
  }
  const sum = parts.reduce((total, { fraction }) => total + fraction, 0)
  return computed({ sum, parts, withinMaximum: sum <= 1 })
}

const DRUGS = Object.keys(MAXIMUM_DOSES) as LocalAnaesthetic[]

/** The maxima for this weight; without a weight, the rule per kilogram. */
export function anaestheticDoseFigure({ weightKg }: SurgeryInput): SurgeryStatement {
  const base = {
    id: ANAESTHETIC_DOSE.id,
    about: ANAESTHETIC_DOSE.about,
    step: 'anaesthesia',
    source: ANAESTHETIC_DOSE.source,
  } as const
  const perKg = 'lidocaine plain 3, with adrenaline 7, bupivacaine 2 mg/kg'
  if (weightKg === undefined) {
    return {
      ...base,
      words: `Most local anaesthetic: weight not stated; ${perKg}. Mixtures: fractions of each maximum add up to 1 at most`,
      values: [],
    }
  }
  const doses: { drug: LocalAnaesthetic; most: Milligrams }[] = []
  for (const drug of DRUGS) {
    const outcome = maximumDose(drug, kg(weightKg))
    if (outcome.kind === 'outside-domain') return refused(base, outcome)
    doses.push({ drug, most: outcome.value })
  }
  const said = doses.slice(0, 3).map(({ drug, most }) => `${drug} ${Math.floor(most)} mg`)
  const lidocaine = millilitresFor(doses[0]?.most ?? mg(0), 2)
  const volume = lidocaine.kind === 'computed' ? ` (${Math.floor(lidocaine.value * 10) / 10} mL of 2 %)` : ''
  return {
    ...base,
    words: `Most local anaesthetic at ${weightKg} kg: ${said[0]}${volume}, ${said.slice(1).join(', ')}; less if old, frail or obese (ideal weight). Mixtures: fractions add up to 1 at most; local formulary first`,
    values: doses.map(({ drug, most }) => ({ name: drug, value: most, unit: 'mg' })),
    working: {
      inputs: [{ name: 'weight', value: weightKg, unit: 'kg' }],
      steps: doses.map(({ drug, most }) => ({ name: `most ${drug}`, value: most, unit: 'mg' })),
      equation: 'most = mg/kg × weight, at most the ceiling of the drug; 1 % = 10 mg/mL',
      source: ANAESTHETIC_DOSE.source,
    },
  }
}

const refused = (
  base: Pick<SurgeryStatement, 'id' | 'about' | 'step' | 'source'>,
  { reason }: OutsideDomain,
): SurgeryStatement => ({ ...base, words: `Most local anaesthetic: ${reason}`, values: [], outOfRange: reason })
