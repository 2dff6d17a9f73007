import { type Case, caseSchema } from '../case/case.js'
import { EYE_NAMES, type Eye } from '../terms/eye.js'
import type { SourcedFact } from './combine.js'
import type { Gathered, Placed } from './gathered.js'
import { fail, keep, type Ledger } from './ledger.js'
import type { Fact, Field, Problem, ReadItem } from './reading.js'
import { type Draft, settle, settleChamber, settleKeratometry } from './settle.js'
import type { Token } from './tokens.js'
import { belongsTo, decideEye, type EyeDecision } from './which-eye.js'

export interface Assembled {
  readonly case: Case
  readonly items: readonly ReadItem[]
  readonly problems: readonly Problem[]
}

/** What is said of the person or of the operation, whichever eye the sentence was about. */
const NOT_OF_AN_EYE: ReadonlySet<string> = new Set(
  (
    'ageYears sex weightKg diabetes alphaBlocker anticoagulant canLieFlat steroidResponder surgeonGrade surgeonCases surgeryDate ' +
    'anaesthesia onlyEye biometryAgeMonths familyRetinalDetachment lensLabel toricPlanned multifocalPlanned siliconeOpticPlanned ' +
    'capsularRingPlanned separateConstantsAsked targetRefractionD technique incisionMm incisionMeridianDeg inducedAstigmatismD ' +
    'bottleHeightCm infusionPressureMmHg activeInfusion keratometricIndex note'
  ).split(' '),
)
const isOfNoEye = (field: Field): boolean =>
  NOT_OF_AN_EYE.has(field) || field.startsWith('lensConstants.') || field.startsWith('fellow.')

type Home = 'case' | 'fellow' | Eye
interface Homed {
  readonly home: Home
  readonly one: Fact & { readonly source: string; readonly line: number }
}

/** Puts what was read together into one case, with every item as read and every problem found, in the order of the message. */
export function assemble(read: Gathered, typed: (tokens: readonly Token[]) => string, question: Case['question']): Assembled {
  const ledger: Ledger = { problems: [], kept: [], typed }
  const decision = decideEye(read)
  noteFaults(read, decision, ledger)
  const homed = read.facts.map((placed) => home(placed, decision, typed))
  const draft: Draft = { facts: {}, fellow: {}, constants: {} }
  const index = homed.find(({ one }) => one.field === 'keratometricIndex')?.one.value
  const corneaNotes = new Map<Home, string>()
  for (const eye of ['case', 'fellow'] as const) {
    for (const [field, facts] of grouped(homed, eye)) {
      if (field === 'keratometricIndex') continue
      if (field === 'keratometry') {
        const note = settleKeratometry(draft, eye, facts, typeof index === 'number' ? index : undefined, ledger)
        if (note !== undefined) corneaNotes.set(eye, note)
      } else settle(draft, eye, field, facts, ledger)
    }
  }
  for (const { home: eye, one } of homed) {
    if ((eye === 'right' || eye === 'left') && one.value !== undefined) {
      keep(ledger, `${EYE_NAMES[eye].words.toLowerCase()}: ${one.source}`, one.line)
    }
  }
  settleChamber(draft, ledger)
  const built = whole(draft, decision, question, ledger)
  return {
    case: built,
    items: itemsOf(homed, built, corneaNotes),
    problems: ledger.problems.sort((one, other) => one.line - other.line),
  }
}

function noteFaults(read: Gathered, decision: EyeDecision, ledger: Ledger): void {
  for (const { what, tokens } of read.faults) {
    const [line, item] = [tokens[0]?.line ?? 1, ledger.typed(tokens)]
    fail(ledger, what, item, line)
    // A value that is only pointed out is in the case; everything else that was refused is kept as words.
    const isUsed = !what.blocks && what.kind === 'out-of-range' && what.field === 'axialLengthMm'
    if (!isUsed && what.field !== 'question') keep(ledger, item, line)
  }
  for (const { tokens, side } of read.unread) {
    const [line, item] = [tokens[0]?.line ?? 1, ledger.typed(tokens)]
    const message = 'this was not understood; it is kept as written and not used.'
    const instead = 'nothing if colleagues will understand it; otherwise other words, such as those in the help'
    fail(ledger, { kind: 'not-understood', blocks: false, message, instead }, item, line)
    // Words that were said of the fellow eye must not be read as said of this one.
    const isOfFellow = side !== undefined && belongsTo(side, decision) === 'fellow'
    keep(ledger, isOfFellow ? `fellow eye: ${item}` : item, line)
  }
  const { fault, mention } = decision
  if (fault !== undefined && mention !== undefined) {
    fail(ledger, fault, ledger.typed(mention.tokens), mention.tokens[0]?.line ?? 1)
  }
}

const home = ({ what, side, tokens }: Placed<Fact>, decision: EyeDecision, typed: Ledger['typed']): Homed => ({
  home: isOfNoEye(what.field) ? 'case' : belongsTo(side, decision),
  one: { ...what, source: typed(tokens), line: tokens[0]?.line ?? 1 },
})

function grouped(homed: readonly Homed[], eye: Home): ReadonlyMap<Field, readonly SourcedFact[]> {
  const groups = new Map<Field, SourcedFact[]>()
  for (const { home: where, one } of homed) {
    const { value } = one
    if (where !== eye || value === undefined) continue
    const group = groups.get(one.field) ?? []
    group.push({ ...one, value })
    groups.set(one.field, group)
  }
  return groups
}

function whole({ facts, fellow, constants }: Draft, decision: EyeDecision, question: Case['question'], ledger: Ledger): Case {
  const { operated, mention, assumed } = decision
  const eye =
    operated === undefined || mention === undefined
      ? undefined
      : {
          value: operated,
          source: ledger.typed(mention.tokens),
          line: mention.tokens[0]?.line ?? 1,
          ...(assumed === undefined ? {} : { assumed }),
        }
  const built: Record<string, unknown> = {
    ...(eye === undefined ? {} : { eye }),
    ...facts,
    ...(Object.keys(fellow).length > 0 ? { fellow } : {}),
    ...(Object.keys(constants).length > 0 ? { lensConstants: constants } : {}),
    ...(question === undefined ? {} : { question }),
  }
  const sound = sifted(built, ledger)
  const notUnderstood = [...ledger.kept].sort((one, other) => one.line - other.line)
  return notUnderstood.length === 0 ? sound : { ...sound, notUnderstood }
}

/** The last gate: what the schema refuses is taken out, named and kept as words; it is never passed on and never thrown. */
function sifted(built: Record<string, unknown>, ledger: Ledger): Case {
  for (;;) {
    const result = caseSchema.safeParse(built)
    if (result.success) return result.data
    const path = result.error.issues[0]?.path ?? []
    const [outer, inner] = [String(path[0]), String(path[1])]
    const isNested = outer === 'fellow' || outer === 'lensConstants'
    const owner = (isNested ? built[outer] : built) as Record<string, unknown>
    const key = isNested ? inner : outer
    if (!(key in owner)) return {}
    const refused = owner[key] as { readonly source?: string; readonly line?: number }
    delete owner[key]
    const [item, line] = [refused.source ?? key, refused.line ?? 1]
    const message = `${key} cannot hold this value. It is not used.`
    fail(ledger, { kind: 'out-of-range', blocks: true, message, instead: 'the value as measured, with its unit' }, item, line)
    keep(ledger, item, line)
  }
}

const withAssumed = (item: ReadItem, assumed: string | undefined): ReadItem =>
  assumed === undefined || assumed === '' ? item : { ...item, assumed }

function itemsOf(homed: readonly Homed[], built: Case, corneaNotes: ReadonlyMap<Home, string>): readonly ReadItem[] {
  const items: ReadItem[] = []
  if (built.eye !== undefined) {
    const { value, source, line, assumed } = built.eye
    const { words, code } = EYE_NAMES[value]
    items.push(withAssumed({ field: 'eye', label: 'eye to be operated', shown: `${words} (${code})`, source, line }, assumed))
  }
  const lastCornea = new Map<Home, number>()
  for (const [place, { home: eye, one }] of homed.entries()) {
    if (one.field === 'keratometry' && one.value !== undefined) lastCornea.set(eye, place)
  }
  for (const [place, { home: eye, one }] of homed.entries()) {
    const prefix = eye === 'fellow' ? 'fellow eye, ' : eye === 'case' ? '' : `${EYE_NAMES[eye].words.toLowerCase()}, `
    const cornea = lastCornea.get(eye) === place ? corneaNotes.get(eye) : undefined
    const field = eye === 'fellow' && !one.field.startsWith('fellow.') ? `fellow.${one.field}` : one.field
    const item = { field, label: `${prefix}${one.label}`, shown: one.shown, source: one.source, line: one.line }
    items.push(withAssumed(item, [one.assumed, cornea].filter((note) => note !== undefined).join('; ')))
  }
  return items.sort((one, other) => one.line - other.line)
}
