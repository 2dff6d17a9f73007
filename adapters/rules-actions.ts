import { writeFileSync } from 'node:fs'
import type { LensList } from '../src/case/lens-list.js'
import { identifierMessage } from '../src/intake/identifiers.js'
import { understand } from '../src/intake/understand.js'
import { factsOfCase } from '../src/plan/facts-of-case.js'
import { lensPlan } from '../src/plan/lens-plan.js'
import { explainRules } from '../src/precautions/explain.js'
import type { Finding } from '../src/precautions/kleene.js'
import type { RuleSetOutcome } from '../src/precautions/rule-set.js'
import { type RuleSet, SHIPPED } from '../src/precautions/rules.js'
import { rulesByStep } from '../src/precautions/rules-in-words.js'
import type { SignOff } from '../src/precautions/sign-offs.js'
import { STEPS } from '../src/terms/steps.js'
import { rulesPage } from '../src/views/rules-page.js'
import type { ExitCode, Terminal } from './plan-command.js'

/** `soundings rules check`: every fault with its file and line and what to write instead, or what the rules hold. */
export function checkRules(outcome: RuleSetOutcome, terminal: Terminal): ExitCode {
  if (outcome.kind === 'faults') {
    for (const { file, line, message, instead } of outcome.faults) terminal.err(`${file}:${line}: ${message}; ${instead}\n`)
    const count = outcome.faults.length
    terminal.err(`${count} ${count === 1 ? 'fault' : 'faults'}; no rule set can be made of these files.\n`)
    return 2
  }
  terminal.out(`${countsOf(outcome.ruleSet).join('\n')}\n`)
  return 0
}

function countsOf({ version, precautions, tensions, switchedOff }: RuleSet): readonly string[] {
  const checklist = precautions.filter(({ place }) => place === 'checklist').length
  const layers = [...new Set([...precautions, ...tensions].map(({ layer }) => layer))].sort(shippedFirst)
  const of = (layer: string) => [...precautions, ...tensions].filter((each) => each.layer === layer).length
  return [
    `${precautions.length} precautions (${checklist} on the checklist), ${tensions.length} tensions. No fault.`,
    `by step: ${STEPS.map((step) => `${step} ${precautions.filter((rule) => rule.step === step).length}`).join(', ')}`,
    `by layer: ${layers.map((layer) => `${layer} ${of(layer)}`).join(', ')}`,
    ...switchedOff.map(({ id, layer, because }) => `switched off by ${layer}: ${id}, because ${because}`),
    `rule set ${version}`,
  ]
}

const shippedFirst = (one: string, other: string): number =>
  Number(other === SHIPPED) - Number(one === SHIPPED) || (one < other ? -1 : 1)

/** `soundings rules explain`: the facts of a case message, then why each rule fires, is quiet or cannot be decided. */
export async function explainCase(
  text: string,
  only: readonly Finding[],
  ground: { readonly ruleSet: RuleSet; readonly lensList?: LensList | undefined },
  terminal: Terminal,
): Promise<ExitCode> {
  const lensLabels = ground.lensList?.lenses.map(({ label }) => label) ?? []
  const understood = understand(text, { today: terminal.today, lensLabels })
  if (understood.kind !== 'case') {
    terminal.err(`${understood.kind === 'identifiers' ? identifierMessage(understood.found) : understood.message}\n`)
    return 2
  }
  for (const { line, item, field, message, instead } of understood.problems) {
    terminal.err(`line ${line}, ${field ? `${field}, ` : ''}"${item}": ${message} Write instead: ${instead}\n`)
  }
  if (understood.problems.some(({ blocks }) => blocks)) return 2
  const { recommended } = lensPlan(understood.case, ground.lensList)
  const facts = factsOfCase(understood.case, recommended?.powerD)
  terminal.out(`${(await explainRules(ground.ruleSet, facts, only)).join('\n')}\n`)
  return 0
}

/** `soundings rules show`: the page that a department reads, and signs. */
export function showRules(ruleSet: RuleSet, signOffs: readonly SignOff[], out: string | undefined, terminal: Terminal): ExitCode {
  const html = rulesPage({
    version: ruleSet.version,
    made: terminal.today,
    steps: rulesByStep(ruleSet),
    switchedOff: ruleSet.switchedOff,
    signOffs,
  })
  if (out === undefined) {
    terminal.out(html)
    return 0
  }
  try {
    writeFileSync(out, html)
  } catch (fault) {
    terminal.err(`${out} cannot be written: ${fault instanceof Error ? fault.message : String(fault)}\n`)
    return 2
  }
  terminal.out(`Written to ${out}\n`)
  return 0
}
