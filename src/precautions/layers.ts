import { wordingFlaws } from './lint.js'
import { nearestWord } from './nearest-word.js'
import { faultAt, type Read, type ReadFiles, type RuleFault } from './rule-files.js'
import { type LayeredRule, type LayeredTension, SHIPPED, type SwitchedOff } from './rules.js'
import type { Override, PrecautionRule } from './schema.js'

/** What a department's own rule is said to come from when it names no layer. */
const OWN = 'department'

export interface Layered {
  readonly precautions: readonly LayeredRule[]
  readonly tensions: readonly LayeredTension[]
  readonly switchedOff: readonly SwitchedOff[]
  readonly faults: readonly RuleFault[]
}

/**
 * Lays a department's rules over the shipped ones. The shipped content is never changed in place: an override makes a copy that
 * names the department as the one who speaks.
 */
export function applyDepartment(base: ReadFiles, own: ReadFiles): Layered {
  const changes = new Map<string, Override>()
  const faults: RuleFault[] = []
  for (const read of own.overrides) {
    const target = base.rules.find(({ content }) => content.id === read.content.override)?.content
    faults.push(...overrideFaults(read, target, base))
    if (changes.has(read.content.override)) {
      faults.push(faultAt(read, ['override'], `"${read.content.override}" is overridden twice`, 'keep one of the two files'))
    }
    changes.set(read.content.override, read.content)
  }
  faults.push(...own.rules.flatMap(layerFaults), ...own.tensions.flatMap(layerFaults))
  const switchedOff = [...changes.values()].flatMap(({ override, layer, off }) =>
    off === undefined ? [] : [{ id: override, layer, because: off.because }],
  )
  const precautions = [
    ...base.rules.map(({ content }) => overridden(content, changes.get(content.id))),
    ...own.rules.map(({ content }) => ({ ...content, layer: content.layer ?? OWN })),
  ].filter(({ id }) => !switchedOff.some((each) => each.id === id))
  const tensions = [
    ...base.tensions.map(({ content }) => ({ ...content, layer: SHIPPED })),
    ...own.tensions.map(({ content }) => ({ ...content, layer: content.layer ?? OWN })),
  ]
  return { precautions, tensions, switchedOff, faults }
}

function overridden(rule: PrecautionRule, change: Override | undefined): LayeredRule {
  if (change === undefined) return { ...rule, layer: SHIPPED }
  const { layer, indicator = rule.indicator, text = rule.text } = change
  return { ...rule, indicator, text, layer }
}

const layerFaults = (read: Read<{ readonly layer?: string | undefined }>): RuleFault[] =>
  read.content.layer === SHIPPED ? [faultAt(read, ['layer'], `"${SHIPPED}" is not a department`, 'name the department')] : []

function overrideFaults(read: Read<Override>, target: PrecautionRule | undefined, base: ReadFiles): readonly RuleFault[] {
  const { override, indicator, text, off } = read.content
  if (target === undefined) {
    const near = nearestWord(
      override,
      base.rules.map(({ content }) => content.id),
    )
    const instead =
      near === undefined
        ? 'name a shipped precaution; the department’s own are changed in their own file'
        : `did you mean "${near}"?`
    return [faultAt(read, ['override'], `there is no shipped precaution "${override}"`, instead)]
  }
  const faults = layerFaults(read)
  if (off === undefined && indicator === undefined && text === undefined) {
    faults.push(faultAt(read, [], 'this override changes nothing', 'give "indicator", "text" or "off"'))
  }
  if (off !== undefined && (indicator !== undefined || text !== undefined)) {
    faults.push(faultAt(read, ['off'], 'what is switched off has no wording and no severity', 'keep only "off"'))
  }
  const flaws = text === undefined ? [] : wordingFlaws({ text, evidence: target.evidence })
  return [...faults, ...flaws.map(({ path, message, instead }) => faultAt(read, path, message, instead))]
}
