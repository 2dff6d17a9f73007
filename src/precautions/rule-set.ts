import { fault } from '../terms/fault.js'
import { evaluateRules } from './evaluate.js'
import type { FactRecord, FactValue } from './facts.js'
import type { JsonPath } from './json-lines.js'
import { applyDepartment } from './layers.js'
import { sameMoment } from './lint.js'
import { didYouMean, FACT_NAMES, termOf } from './read-condition.js'
import { faultAt, type Read, type RuleFault, type RuleFile, readFiles } from './rule-files.js'
import { type RuleSet, ruleSetOf, SHIPPED } from './rules.js'
import type { TensionRule } from './schema.js'

export type RuleSetOutcome =
  | { readonly kind: 'rules'; readonly ruleSet: RuleSet }
  | { readonly kind: 'faults'; readonly faults: readonly RuleFault[] }

/**
 * Builds a rule set from files, or lists everything wrong in them. A set that comes back has passed the schema, the lint and
 * two dry runs of the engine, so that no rule can fail for the first time on a real case.
 * @param shipped the files of `rules/`
 * @param department the files of a department's own folder: own rules, and overrides of shipped ones
 */
export async function buildRuleSet(shipped: readonly RuleFile[], department: readonly RuleFile[] = []): Promise<RuleSetOutcome> {
  const base = readFiles(shipped)
  const own = readFiles(department)
  const { precautions, tensions, switchedOff, faults: layerFaults } = applyDepartment(base, own)
  const everything = [...base.rules, ...own.rules]
  const speaking = everything.filter(({ content }) => !switchedOff.some(({ id }) => id === content.id))
  const faults = [
    ...base.faults,
    ...own.faults,
    ...layerFaults,
    ...base.overrides.map((read) =>
      faultAt(read, ['override'], 'an override among the shipped rules', 'put it into the department folder'),
    ),
    ...base.rules
      .filter(({ content }) => content.layer !== undefined)
      .map((read) => faultAt(read, ['layer'], 'a shipped rule names no layer', `take it out; it is "${SHIPPED}"`)),
    ...repeatFaults(everything, ({ id }) => id, ['id'], 'the id'),
    ...repeatFaults([...base.tensions, ...own.tensions], ({ id }) => id, ['id'], 'the id'),
    ...repeatFaults(
      speaking.filter(({ content }) => !('always' in content.when)),
      sameMoment,
      ['when'],
      'the same condition at the same step',
    ),
    ...strangerFaults(
      [...base.tensions, ...own.tensions],
      everything.map(({ content }) => content.id),
    ),
    ...(shipped.length === 0
      ? [{ file: 'rules', line: 1, message: 'there is no rule file', instead: 'point to the folder that holds them' }]
      : []),
  ]
  if (faults.length > 0) return { kind: 'faults', faults: faults.toSorted(byPlace) }
  const ruleSet = ruleSetOf(precautions, tensions, switchedOff)
  await dryRun(ruleSet)
  return { kind: 'rules', ruleSet }
}

const byPlace = (one: RuleFault, other: RuleFault): number =>
  one.file === other.file ? one.line - other.line : one.file < other.file ? -1 : 1

function repeatFaults<Content>(
  reads: readonly Read<Content>[],
  keyOf: (content: Content) => string,
  path: JsonPath,
  what: string,
): readonly RuleFault[] {
  const first = new Map<string, Read<Content>>()
  return reads.flatMap((read) => {
    const key = keyOf(read.content)
    const before = first.get(key)
    if (before === undefined) {
      first.set(key, read)
      return []
    }
    const { file, line } = before.at(path)
    return [faultAt(read, path, `${what} stands in ${file}, line ${line}, too`, 'make one of the two, or tell them apart')]
  })
}

const strangerFaults = (tensions: readonly Read<TensionRule>[], ids: readonly string[]): readonly RuleFault[] =>
  tensions.flatMap((read) =>
    read.content.sides.flatMap(({ precautions }, side) =>
      precautions.flatMap((id, at) =>
        ids.includes(id)
          ? []
          : [faultAt(read, ['sides', side, 'precautions', at], `there is no precaution "${id}"`, nearestOf(id, ids))],
      ),
    ),
  )

const nearestOf = (id: string, ids: readonly string[]): string => {
  const hint = didYouMean(id, ids)
  return hint.startsWith('did') ? hint : 'correct the id, or take it out'
}

/** Runs every rule once with nothing known and once with everything known: what throws or is miscounted, throws here. */
async function dryRun(ruleSet: RuleSet): Promise<void> {
  await evaluateRules(
    ruleSet,
    recordOf(() => null),
  )
  const { precautions, openTensions } = await evaluateRules(ruleSet, recordOf(typicalValue))
  const open = [...precautions.filter(({ finding }) => finding === 'unknown'), ...openTensions]
  if (open.length > 0) {
    const ids = open.map(({ id }) => id).join(', ')
    throw fault('PRECAUTIONS.OPEN_WITH_ALL_KNOWN', `undecided although every fact is known: ${ids}`)
  }
}

const recordOf = (valueFor: (fact: (typeof FACT_NAMES)[number]) => FactValue): FactRecord =>
  Object.fromEntries(FACT_NAMES.map((fact) => [fact, valueFor(fact)])) as FactRecord

function typicalValue(fact: (typeof FACT_NAMES)[number]): FactValue {
  const term = termOf(fact)
  if (term.kind === 'yes-no') return false
  if (term.kind === 'choice') return term.values[0] ?? null
  return (term.low + term.high) / 2
}
