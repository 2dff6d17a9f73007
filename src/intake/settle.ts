import { caseSchema } from '../case/case.js'
import { combine, type SourcedFact } from './combine.js'
import { combineKeratometry } from './combine-keratometry.js'
import { fail, keep, type Ledger, withhold } from './ledger.js'
import { short } from './numbers.js'
import { OF_THE_LENS_NAMED } from './read-refraction.js'
import type { Fault, Field, RefractionReading } from './reading.js'

/** The parts of a case while it is put together. The schema is the last gate, so the values are still unknown here. */
export interface Draft {
  readonly facts: Record<string, unknown>
  readonly fellow: Record<string, unknown>
  readonly constants: Record<string, unknown>
}

const FELLOW_FIELDS: ReadonlySet<string> = new Set(Object.keys(caseSchema.shape.fellow.unwrap().shape))
const CONSTANTS = 'lensConstants.'
const FELLOW = 'fellow.'

function put(draft: Draft, home: 'case' | 'fellow', field: Field, value: unknown): void {
  if (field.startsWith(CONSTANTS)) draft.constants[field.slice(CONSTANTS.length)] = value
  else if (field.startsWith(FELLOW)) draft.fellow[field.slice(FELLOW.length)] = value
  else if (home === 'fellow') draft.fellow[field] = value
  else draft.facts[field] = value
}

const quoted = (facts: readonly SourcedFact[]): string =>
  facts.map(({ source, line }) => `"${source}" (line ${line})`).join(' and ')

/** All that was said on one fact of one eye, settled into one value or named as a problem. */
export function settle(draft: Draft, home: 'case' | 'fellow', field: Field, facts: readonly SourcedFact[], ledger: Ledger): void {
  const [first] = facts
  if (first === undefined) return
  if (field === 'note') {
    for (const { source, line, value } of facts) keep(ledger, value === '' ? source : String(value), line)
    return
  }
  const result = combine(field, facts)
  if ('contradiction' in result) {
    const message = `${first.label} is given in ways that contradict each other: ${quoted(facts)}. None is used.`
    const instead = 'only the one that holds; begin what belongs to the other eye with "fellow eye"'
    withhold(ledger, { kind: 'contradiction', field, blocks: true, message, instead }, facts)
  } else if (field === 'diabetes' && result.value === 'no-retinopathy') {
    const message = 'no retinopathy: it is not said whether the patient is diabetic.'
    withhold(
      ledger,
      { kind: 'ambiguous', field, blocks: false, message, instead: 'not diabetic, or diabetic, no retinopathy' },
      facts,
    )
  } else if (field === 'lensStatus' && home === 'case') {
    // The eye to be operated is phakic; that is no news and has no place in the case.
    if (result.value === 'phakic') return
    const message = 'it is not said which eye has this lens status.'
    withhold(ledger, { kind: 'ambiguous', field, blocks: false, message, instead: `fellow eye ${String(result.value)}` }, facts)
  } else if (field === 'refraction' && home === 'case' && facts.every(({ assumed }) => assumed?.includes(OF_THE_LENS_NAMED))) {
    const message = 'it is not said which eye this refraction belongs to.'
    withhold(
      ledger,
      { kind: 'ambiguous', field, blocks: false, message, instead: 'fellow eye -1.50, or refraction -1.50' },
      facts,
    )
  } else if (field === 'refraction' && home === 'fellow') {
    put(draft, home, 'fellow.refractionD', { ...result, value: (result.value as RefractionReading).sphericalEquivalentD })
  } else if (home === 'fellow' && field === 'periphery' && result.value === 'detached') {
    put(draft, home, 'fellow.retinalDetachment', { ...result, value: true })
  } else if (home === 'fellow' && !field.startsWith(FELLOW) && !FELLOW_FIELDS.has(field)) {
    for (const { source, line } of facts) keep(ledger, `fellow eye: ${source}`, line)
  } else put(draft, home, field, result)
}

const distinct = (notes: readonly (string | undefined)[]): string =>
  [...new Set(notes.filter((note) => note !== undefined))].join('; ')

/**
 * The corneal power of one eye.
 * @returns what to show beside its last reading: the mean, and what was taken for granted
 */
export function settleKeratometry(
  draft: Draft,
  home: 'case' | 'fellow',
  facts: readonly SourcedFact[],
  index: number | undefined,
  ledger: Ledger,
): string | undefined {
  const { value, assumed, faults } = combineKeratometry(facts, index)
  if (value === undefined) {
    for (const fault of faults) withhold(ledger, fault, facts)
    return undefined
  }
  const source = distinct(facts.map((one) => one.source))
  const line = facts[0]?.line ?? 1
  for (const fault of faults) fail(ledger, fault, source, line)
  const notes = distinct([...facts.map((one) => one.assumed), assumed])
  const stated = { source, line, ...(notes === '' ? {} : { assumed: notes }) }
  if (home === 'fellow') draft.fellow['meanKeratometryD'] = { value: value.meanD, ...stated }
  else draft.facts['keratometry'] = { value, ...stated }
  const isTheMean = facts.length === 1 && facts[0]?.shown === `${value.meanD.toFixed(2)} D`
  return distinct([isTheMean ? undefined : `mean ${value.meanD.toFixed(2)} D`, assumed])
}

interface StatedNumber {
  readonly value: number
  readonly source: string
  readonly line: number
  readonly assumed?: string
}

/** A depth from the endothelium becomes one from the epithelium by adding the cornea; without the cornea it cannot. */
export function settleChamber({ facts }: Draft, ledger: Ledger): void {
  const field = 'anteriorChamberDepthMm'
  const aqueous = facts['aqueousDepthMm'] as StatedNumber | undefined
  const cornea = facts['centralCornealThicknessUm'] as StatedNumber | undefined
  const depth = facts[field] as StatedNumber | undefined
  delete facts['aqueousDepthMm']
  if (aqueous === undefined) return
  const { source, line } = aqueous
  if (cornea === undefined) {
    if (depth !== undefined) {
      keep(ledger, source, line)
      return
    }
    const message = 'this depth is from the endothelium; without the corneal thickness it cannot be used. It is kept as written.'
    const instead = `CCT 545 µm beside "${source}", or the depth from the epithelium`
    withhold(ledger, { kind: 'not-understood', field, blocks: false, message, instead }, [aqueous])
    return
  }
  const value = Number((aqueous.value + cornea.value / 1000).toFixed(4))
  if (depth !== undefined) {
    if (Math.abs(depth.value - value) <= 0.1) return
    delete facts[field]
    const message = `"${depth.source}" (line ${depth.line}) and "${source}" (line ${line}) plus the corneal thickness differ by more than 0.1 mm. Neither is used.`
    const fault: Fault = { kind: 'contradiction', field, blocks: true, message, instead: 'the one that holds' }
    withhold(ledger, fault, [depth, aqueous])
    return
  }
  const sum = `${short(aqueous.value, 3)} mm from the endothelium plus a cornea of ${short(cornea.value, 0)} µm`
  facts[field] = { value, source, line, assumed: distinct([aqueous.assumed, sum]) }
  facts['anteriorChamberDepthFrom'] = { value: 'endothelium', source, line }
}
