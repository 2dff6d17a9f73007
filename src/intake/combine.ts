import { DENSITY_BANDS, densityBand } from '../case/nuclear-density.js'
import { SECOND_READING } from './read-again.js'
import type { Fact, FactValue, Field, NucleusGrade, RefractionReading } from './reading.js'

/** One statement with its source as typed, ready to be put together with others on the same fact. */
export interface SourcedFact extends Fact {
  readonly value: FactValue
  readonly source: string
  readonly line: number
}

export interface Settled {
  readonly value: FactValue
  readonly source: string
  readonly line: number
  readonly assumed?: string
}
export type Combined = Settled | { readonly contradiction: readonly SourcedFact[] }

const joined = (facts: readonly SourcedFact[]): string => [...new Set(facts.map(({ source }) => source))].join('; ')
const notes = (facts: readonly SourcedFact[], extra: string | undefined): string | undefined => {
  const all = [...new Set([...facts.map(({ assumed }) => assumed), extra].filter((note) => note !== undefined))]
  return all.length === 0 ? undefined : all.join('; ')
}
const settled = (facts: readonly SourcedFact[], value: FactValue, extra?: string): Settled => {
  const assumed = notes(facts, extra)
  return { value, source: joined(facts), line: facts[0]?.line ?? 1, ...(assumed === undefined ? {} : { assumed }) }
}

/** Where several answers may stand side by side: gravest first. An answer outside the list contradicts those in it. */
const GRAVEST_FIRST: Partial<Readonly<Record<Field, readonly string[]>>> = {
  zonules: ['phacodonesis', 'weak'],
  alphaBlocker: ['current', 'past'],
  periphery: ['detached', 'untreated-tear', 'lattice', 'treated'],
  anticoagulant: ['warfarin', 'doac', 'other', 'antiplatelet'],
  axialLengthMethod: ['immersion', 'contact', 'ultrasound'],
  anaesthesia: ['topical-intracameral', 'topical'],
}

/** A second reading this near the first is the same length, mm: common practice, no source. */
const SAME_LENGTH_MM = 0.05

const repeated = (facts: readonly SourcedFact[]): boolean =>
  facts.some(({ assumed }) => assumed === SECOND_READING) &&
  facts.every(({ value }) => Math.abs(Number(value) - Number(facts[0]?.value)) <= SAME_LENGTH_MM + 1e-9)

/** The several statements on one fact, put together, or named as a contradiction. */
export function combine(field: Field, facts: readonly SourcedFact[]): Combined {
  const [first] = facts
  if (first === undefined) return { contradiction: facts }
  const values = [...new Set(facts.map(({ value }) => JSON.stringify(value)))]
  if (field === 'nucleus') return densest(facts)
  if (field === 'diabetes') return diabetes(facts)
  if (values.length === 1) return settled(facts, first.value)
  if (field === 'refraction') return refraction(facts)
  if (field === 'axialLengthMm' && repeated(facts)) return settled(facts, first.value, `read again as ${facts.at(-1)?.shown}`)
  if (field === 'acuity') return settled(facts, [...new Set(facts.map(({ value }) => String(value)))].join('; '))
  if (field === 'macula' && facts.every(({ value }) => value !== 'normal')) {
    return settled(
      facts,
      'other-finding',
      `several findings: ${[...new Set(facts.map(({ value }) => String(value)))].join(', ')}`,
    )
  }
  const order = GRAVEST_FIRST[field]
  if (order?.length !== undefined && facts.every(({ value }) => order.includes(String(value)))) {
    const gravest = order.find((answer) => facts.some(({ value }) => value === answer)) ?? ''
    const others = order.filter((answer) => answer !== gravest && facts.some(({ value }) => value === answer))
    return settled(facts, gravest, `also said: ${others.join(', ')}`)
  }
  return { contradiction: facts }
}

/** Of several grades the denser band counts; of two in one band, the one with a number says more. */
function densest(facts: readonly SourcedFact[]): Combined {
  const grades = facts.map((one) => ({ one, grade: one.value as NucleusGrade }))
  const rank = ({ grade }: { readonly grade: NucleusGrade }): number => {
    const band = densityBand(grade.scale, grade.grade)
    return (band === undefined ? -1 : DENSITY_BANDS.indexOf(band)) * 2 + (grade.scale === 'colour' ? 0 : 1)
  }
  const best = grades.reduce((kept, next) => (rank(next) > rank(kept) ? next : kept))
  const band = densityBand(best.grade.scale, best.grade.grade)
  const others = [
    ...new Set(grades.filter(({ grade }) => JSON.stringify(grade) !== JSON.stringify(best.grade)).map(({ one }) => one.shown)),
  ]
  return settled(
    facts,
    { ...best.grade, band } as NucleusGrade,
    others.length === 0 ? undefined : `the denser of the grades given; also ${others.join(', ')}`,
  )
}

function diabetes(facts: readonly SourcedFact[]): Combined {
  const said = new Set(facts.map(({ value }) => value))
  if (said.size === 1 && said.has('no-retinopathy')) return settled(facts, 'no-retinopathy')
  const diabetic = said.has('diabetes') || said.has('without-retinopathy') || said.has('retinopathy')
  const without = said.has('without-retinopathy') || said.has('no-retinopathy')
  if ((said.has('none') && diabetic) || (said.has('retinopathy') && without)) return { contradiction: facts }
  if (said.has('retinopathy')) return settled(facts, 'retinopathy')
  if (!diabetic) return settled(facts, 'none')
  return settled(facts, without ? 'without-retinopathy' : 'diabetes')
}

/** A spherical equivalent beside a full refraction is the same statement where the two agree to half a dioptre. */
function refraction(facts: readonly SourcedFact[]): Combined {
  const readings = facts.map(({ value }) => value as RefractionReading)
  const full = readings.find(({ cylinderD }) => cylinderD !== undefined) ?? readings[0]
  const agree = readings.every(
    (one) =>
      full !== undefined &&
      Math.abs(one.sphericalEquivalentD - full.sphericalEquivalentD) <= 0.5 &&
      (one.cylinderD === undefined || JSON.stringify(one) === JSON.stringify(full)),
  )
  return agree && full !== undefined ? settled(facts, full) : { contradiction: facts }
}
