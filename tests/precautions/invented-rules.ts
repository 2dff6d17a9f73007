import type { RuleFault, RuleFile } from '../../src/precautions/rule-files.js'
import { buildRuleSet } from '../../src/precautions/rule-set.js'
import type { RuleSet } from '../../src/precautions/rules.js'

/** A rule file of the tests' own, complete and without a flaw. Its wording is invented. */
export const NEEDLE = {
  id: 'needle-block-in-a-long-eye',
  theme: 'anaesthesia',
  step: 'anaesthesia',
  indicator: 'critical',
  place: 'eye',
  harm: 1,
  changeableBefore: true,
  when: {
    all: [
      { fact: 'axialLengthMm', operator: 'atLeast', value: 26 },
      { fact: 'anaesthesia', operator: 'isOneOf', value: ['peribulbar', 'retrobulbar'] },
    ],
  },
  text: 'Replace the needle block.',
  why: 'A long eye is nearer to the needle.',
  ask: 'Which anaesthesia is planned?',
  evidence: 'cohort',
  sources: [{ cite: 'An invented paper', year: 1999, sureness: 'memory', supports: 'nothing' }],
  examples: {
    fires: [{ axialLengthMm: 29.6, anaesthesia: 'peribulbar' }],
    quiet: [{ axialLengthMm: 23 }, { axialLengthMm: 29.6, anaesthesia: 'topical' }],
    unknown: [{ axialLengthMm: 29.6 }],
  },
}

export const GLAUCOMA = {
  ...NEEDLE,
  id: 'pressure-after-surgery',
  theme: 'glaucoma-and-steroid',
  step: 'aftercare',
  indicator: 'warning',
  harm: 3,
  when: { fact: 'glaucoma', operator: 'is', value: true },
  text: 'Measure the pressure on the first day.',
  examples: { fires: [{ glaucoma: true }], quiet: [{ glaucoma: false }], unknown: [{}] },
}

export const CHECKLIST = {
  ...NEEDLE,
  id: 'read-the-power-aloud',
  theme: 'checklist',
  step: 'lens',
  place: 'checklist',
  when: { always: true },
  text: 'Read power and eye aloud before the lens is opened.',
  examples: { fires: [{}] },
}

export const PRESSURE_TENSION = {
  id: 'low-pressure-or-a-stable-chamber',
  step: 'nucleus',
  question: 'Which infusion pressure would you start with?',
  sides: [
    {
      pull: 'Start low: the eye is long.',
      when: { fact: 'axialLengthMm', operator: 'atLeast', value: 26 },
      precautions: [NEEDLE.id],
      sources: NEEDLE.sources,
    },
    {
      pull: 'Keep it high: the nucleus is hard.',
      when: { fact: 'nucleusBand', operator: 'isOneOf', value: ['very-hard', 'black'] },
      precautions: [],
      sources: NEEDLE.sources,
    },
  ],
  examples: {
    fires: [{ axialLengthMm: 30, nucleusBand: 'black' }],
    quiet: [{ axialLengthMm: 30, nucleusBand: 'soft' }],
  },
}

export const ruleFile = (file: string, content: unknown): RuleFile => ({ file, text: JSON.stringify(content, null, 2) })

export const SHIPPED_FILES: readonly RuleFile[] = [
  ruleFile('rules/anaesthesia/needle-block-in-a-long-eye.json', NEEDLE),
  ruleFile('rules/glaucoma-and-steroid/pressure-after-surgery.json', GLAUCOMA),
  ruleFile('rules/checklist/read-the-power-aloud.json', CHECKLIST),
  ruleFile('rules/tensions/low-pressure-or-a-stable-chamber.json', PRESSURE_TENSION),
]

/** The rule set that files build, or a failure that lists what is wrong in them. */
export async function built(shipped: readonly RuleFile[], department?: readonly RuleFile[]): Promise<RuleSet> {
  const outcome = await buildRuleSet(shipped, department)
  if (outcome.kind === 'rules') return outcome.ruleSet
  throw new Error(outcome.faults.map(({ file, line, message, instead }) => `${file}:${line} ${message}; ${instead}`).join('\n'))
}

export async function faultsOf(shipped: readonly RuleFile[], department?: readonly RuleFile[]): Promise<readonly RuleFault[]> {
  const outcome = await buildRuleSet(shipped, department)
  return outcome.kind === 'faults' ? outcome.faults : []
}
