import { type Case, caseSchema } from '../case/case.js'
import { EYE_NAMES, type Eye } from '../terms/eye.js'
import { combine, type SourcedFact } from './combine.js'
import { combineKeratometry } from './combine-keratometry.js'
import { short } from './numbers.js'
import type { Fact, Fault, Field, Problem, ReadItem, RefractionReading } from './reading.js'
import type { Gathered, Placed } from './statements.js'
import type { Token } from './tokens.js'
import { belongsTo, decideEye, type EyeDecision } from './which-eye.js'

export interface Assembled {
  readonly case: Case
  readonly items: readonly ReadItem[]
  readonly problems: readonly Problem[]
}

/** What is said of the person or of the operation, whichever eye the sentence was about. */
const NOT_OF_AN_EYE: ReadonlySet<string> = new Set<Field>([
  'ageYears',
  'sex',
  'weightKg',
  'diabetes',
  'alphaBlocker',
  'anticoagulant',
  'canLieFlat',
  'steroidResponder',
  'surgeonGrade',
  'surgeonCases',
  'surgeryDate',
  'anaesthesia',
  'onlyEye',
  'biometryAgeMonths',
  'familyRetinalDetachment',
  'lensLabel',
  'toricPlanned',
  'multifocalPlanned',
  'siliconeOpticPlanned',
  'capsularRingPlanned',
  'targetRefractionD',
  'technique',
  'incisionMm',
  'bottleHeightCm',
  'infusionPressureMmHg',
  'activeInfusion',
  'keratometricIndex',
  'note',
  'question',
])
const isOfNoEye = (field: Field): boolean =>
  NOT_OF_AN_EYE.has(field) || field.startsWith('lensConstants.') || field.startsWith('fellow.')
const FELLOW_FIELDS: ReadonlySet<string> = new Set(Object.keys(caseSchema.shape.fellow.unwrap().shape))

type Home = 'case' | 'fellow' | Eye
interface Sorted {
  readonly home: Home
  readonly one: SourcedFact | (Fact & { readonly value: undefined; readonly source: string; readonly line: number })
}

/** Puts what was read together into one case, with every item as read and every problem found, in the order of the message. */
export function assemble(read: Gathered, typed: (from: Token, to: Token) => string, question: Case['question']): Assembled {
  const decision = decideEye(read)
  const problems: Problem[] = []
  const kept: { text: string; line: number }[] = []
  const keep = (text: string, line: number): void => {
    if (!kept.some((one) => one.text === text && one.line === line)) kept.push({ text, line })
  }
  const fail = (fault: Fault, item: string, line: number): void => {
    const { field, ...rest } = fault
    problems.push({ line, item, ...(field === undefined ? {} : { field }), ...rest })
  }
  for (const { what, from, to } of read.faults) {
    fail(what, typed(from, to), from.line)
    // A value that is only pointed out is in the case; everything else that was refused is kept as words.
    if (what.blocks || what.kind !== 'out-of-range' || what.field === 'surgeryDate' || what.field === 'biometryAgeMonths')
      keep(typed(from, to), from.line)
  }
  for (const { from, to } of read.unread) {
    const item = typed(from, to)
    fail(
      {
        kind: 'not-understood',
        blocks: false,
        message: 'this was not understood; it is kept as written and not used.',
        instead: 'nothing if colleagues will understand it; otherwise other words, such as those in the help',
      },
      item,
      from.line,
    )
    keep(item, from.line)
  }
  if (decision.fault !== undefined && decision.mention !== undefined) {
    fail(decision.fault, typed(decision.mention.token, decision.mention.token), decision.mention.token.line)
  }
  const sorted = sort(read.facts, decision, typed)
  const built: Record<string, unknown> = {}
  const fellow: Record<string, unknown> = {}
  const constants: Record<string, unknown> = {}
  const put = (home: Home, field: Field, value: unknown): void => {
    if (field.startsWith('lensConstants.')) constants[field.slice('lensConstants.'.length)] = value
    else if (field.startsWith('fellow.')) fellow[field.slice('fellow.'.length)] = value
    else if (home === 'fellow') fellow[field] = value
    else built[field] = value
  }
  const index = sorted.find(({ one }) => one.field === 'keratometricIndex')?.one.value
  const corneaNotes = new Map<Home, string>()
  for (const home of ['case', 'fellow'] as const) {
    for (const [field, facts] of grouped(sorted, home)) {
      const [first] = facts
      if (first === undefined || field === 'keratometricIndex') continue
      const withhold = (fault: Fault): void => {
        fail(fault, facts.map(({ source }) => source).join('; '), first.line)
        for (const { source, line } of facts) keep(source, line)
      }
      if (field === 'note') {
        for (const { source, line } of facts) keep(source, line)
      } else if (field === 'keratometry') {
        const cornea = combineKeratometry(facts, typeof index === 'number' ? index : undefined)
        for (const fault of cornea.faults)
          cornea.value === undefined ? withhold(fault) : fail(fault, facts.map(({ source }) => source).join('; '), first.line)
        if (cornea.value === undefined) continue
        const source = [...new Set(facts.map((one) => one.source))].join('; ')
        corneaNotes.set(
          home,
          [`mean ${cornea.value.meanD.toFixed(2)} D`, cornea.assumed].filter((note) => note !== undefined).join('; '),
        )
        const assumed = [
          ...new Set([...facts.map((one) => one.assumed), cornea.assumed].filter((note) => note !== undefined)),
        ].join('; ')
        const stated = { source, line: first.line, ...(assumed === '' ? {} : { assumed }) }
        if (home === 'fellow') fellow['meanKeratometryD'] = { value: cornea.value.meanD, ...stated }
        else built['keratometry'] = { value: cornea.value, ...stated }
      } else {
        const result = combine(field, facts)
        if ('contradiction' in result) {
          withhold({
            kind: 'contradiction',
            field,
            blocks: true,
            message: `${first.label} is given in ways that contradict each other: ${facts.map(({ source, line }) => `"${source}" (line ${line})`).join(' and ')}. None is used.`,
            instead: 'only the one that holds; begin what belongs to the other eye with "fellow eye"',
          })
        } else if (field === 'diabetes' && result.value === 'no-retinopathy') {
          withhold({
            kind: 'ambiguous',
            field,
            blocks: false,
            message: 'no retinopathy: it is not said whether the patient is diabetic.',
            instead: 'not diabetic, or diabetic, no retinopathy',
          })
        } else if (field === 'lensStatus' && home === 'case') {
          if (result.value !== 'phakic')
            withhold({
              kind: 'ambiguous',
              field,
              blocks: false,
              message: 'it is not said which eye has this lens status.',
              instead: `fellow eye ${String(result.value)}`,
            })
        } else if (field === 'refraction' && home === 'fellow') {
          put(home, 'fellow.refractionD', { ...result, value: (result.value as RefractionReading).sphericalEquivalentD })
        } else if (home === 'fellow' && !field.startsWith('fellow.') && !FELLOW_FIELDS.has(field)) {
          for (const { source, line } of facts) keep(`fellow eye: ${source}`, line)
        } else put(home, field, result)
      }
    }
  }
  for (const { home, one } of sorted)
    if (home !== 'case' && home !== 'fellow' && one.value !== undefined)
      keep(`${EYE_NAMES[home].words.toLowerCase()}: ${one.source}`, one.line)
  settleChamber(built, fail, keep)
  if (Object.keys(fellow).length > 0) built['fellow'] = fellow
  if (Object.keys(constants).length > 0) built['lensConstants'] = constants
  const { operated, mention, assumed } = decision
  if (operated !== undefined && mention !== undefined) {
    built['eye'] = {
      value: operated,
      source: typed(mention.token, mention.token),
      line: mention.token.line,
      ...(assumed === undefined ? {} : { assumed }),
    }
  }
  if (question !== undefined) built['question'] = question
  if (kept.length > 0) built['notUnderstood'] = kept.sort((one, other) => one.line - other.line)
  return {
    case: checked(built, fail, keep),
    items: itemsOf(sorted, built, corneaNotes),
    problems: problems.sort((one, other) => one.line - other.line),
  }
}

function sort(
  facts: readonly Placed<Fact>[],
  decision: EyeDecision,
  typed: (from: Token, to: Token) => string,
): readonly Sorted[] {
  return facts.map(({ what, side, from, to }) => ({
    home: isOfNoEye(what.field) ? 'case' : belongsTo(side, decision),
    one: { ...what, source: typed(from, to), line: from.line } as Sorted['one'],
  }))
}

function grouped(sorted: readonly Sorted[], home: Home): ReadonlyMap<Field, readonly SourcedFact[]> {
  const groups = new Map<Field, SourcedFact[]>()
  for (const { home: where, one } of sorted) {
    if (where !== home || one.value === undefined) continue
    const group = groups.get(one.field) ?? []
    group.push(one as SourcedFact)
    groups.set(one.field, group)
  }
  return groups
}

interface StatedNumber {
  readonly value: number
  readonly source: string
  readonly line: number
  readonly assumed?: string
}

/** A depth from the endothelium becomes one from the epithelium by adding the cornea; without the cornea it cannot. */
function settleChamber(
  built: Record<string, unknown>,
  fail: (fault: Fault, item: string, line: number) => void,
  keep: (text: string, line: number) => void,
): void {
  const aqueous = built['aqueousDepthMm'] as StatedNumber | undefined
  const cornea = built['centralCornealThicknessUm'] as StatedNumber | undefined
  const depth = built['anteriorChamberDepthMm'] as StatedNumber | undefined
  delete built['aqueousDepthMm']
  if (aqueous === undefined) return
  const { source, line } = aqueous
  if (cornea === undefined) {
    keep(source, line)
    if (depth !== undefined) return
    fail(
      {
        kind: 'not-understood',
        field: 'anteriorChamberDepthMm',
        blocks: false,
        message: 'this depth is from the endothelium; without the corneal thickness it cannot be used. It is kept as written.',
        instead: 'CCT 545 µm beside it, or the depth from the epithelium',
      },
      source,
      line,
    )
    return
  }
  const value = Number((aqueous.value + cornea.value / 1000).toFixed(4))
  if (depth !== undefined) {
    if (Math.abs(depth.value - value) <= 0.1) return
    delete built['anteriorChamberDepthMm']
    keep(source, line)
    keep(depth.source, depth.line)
    fail(
      {
        kind: 'contradiction',
        field: 'anteriorChamberDepthMm',
        blocks: true,
        message: `"${depth.source}" (line ${depth.line}) and "${source}" (line ${line}) plus the corneal thickness differ by more than 0.1 mm. Neither is used.`,
        instead: 'the one that holds',
      },
      `${depth.source}; ${source}`,
      line,
    )
    return
  }
  const said = `${short(aqueous.value, 3)} mm from the endothelium plus a cornea of ${short(cornea.value, 0)} µm`
  built['anteriorChamberDepthMm'] = {
    value,
    source,
    line,
    assumed: [aqueous.assumed, said].filter((note) => note !== undefined).join('; '),
  }
  built['anteriorChamberDepthFrom'] = { value: 'endothelium', source, line }
}

/** The last gate: what the schema refuses is taken out and named, never passed on and never thrown. */
function checked(
  built: Record<string, unknown>,
  fail: (fault: Fault, item: string, line: number) => void,
  keep: (text: string, line: number) => void,
): Case {
  for (let turn = 0; turn < 100; turn += 1) {
    const result = caseSchema.safeParse(built)
    if (result.success) return result.data
    const path = result.error.issues[0]?.path ?? []
    const [field, inner] = [String(path[0]), String(path[1])]
    const isNested = field === 'fellow' || field === 'lensConstants'
    const owner = (isNested ? built[field] : built) as Record<string, unknown>
    const key = isNested ? inner : field
    const refused = owner[key] as { readonly source?: string; readonly line?: number } | undefined
    delete owner[key]
    const [item, line] = [refused?.source ?? key, refused?.line ?? 1]
    fail(
      {
        kind: 'out-of-range',
        blocks: true,
        message: `${key} cannot hold this value. It is not used.`,
        instead: 'the value as measured, with its unit',
      },
      item,
      line,
    )
    if (key !== 'notUnderstood') keep(item, line)
  }
  return {}
}

function itemsOf(
  sorted: readonly Sorted[],
  built: Readonly<Record<string, unknown>>,
  corneaNotes: ReadonlyMap<Home, string>,
): readonly ReadItem[] {
  const items: ReadItem[] = []
  const eye = built['eye'] as
    | { readonly value: Eye; readonly source: string; readonly line: number; readonly assumed?: string }
    | undefined
  if (eye !== undefined) {
    const { words, code } = EYE_NAMES[eye.value]
    items.push({
      field: 'eye',
      label: 'eye to be operated',
      shown: `${words} (${code})`,
      source: eye.source,
      line: eye.line,
      ...(eye.assumed === undefined ? {} : { assumed: eye.assumed }),
    })
  }
  const lastCornea = new Map(
    sorted.flatMap(({ home, one }, index) =>
      one.field === 'keratometry' && one.value !== undefined ? [[home, index] as const] : [],
    ),
  )
  for (const [index, { home, one }] of sorted.entries()) {
    const prefix = home === 'fellow' ? 'fellow eye, ' : home === 'case' ? '' : `${EYE_NAMES[home].words.toLowerCase()}, `
    const cornea = lastCornea.get(home) === index ? corneaNotes.get(home) : undefined
    const assumed = [one.assumed, cornea].filter((note) => note !== undefined).join('; ')
    items.push({
      field: home === 'fellow' && !one.field.startsWith('fellow.') ? `fellow.${one.field}` : one.field,
      label: `${prefix}${one.label}`,
      shown: one.shown,
      source: one.source,
      line: one.line,
      ...(assumed === '' ? {} : { assumed }),
    })
  }
  return items.sort((one, other) => one.line - other.line)
}
