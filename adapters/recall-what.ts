import { join } from 'node:path'
import {
  constantCorrected,
  figureCorrected,
  isCorrectable,
  LENS_CONSTANTS,
  type LensConstantName,
  listWith,
} from '../src/learning/corrected.js'
import { modelsNamed } from '../src/learning/recall.js'
import { OPTICS_MODELS } from '../src/optics/all.js'
import { makePlan, type PlanGround } from '../src/plan/make-plan.js'
import { compileRules } from '../src/precautions/compile.js'
import { RISK_MODELS } from '../src/risk/all.js'
import { SURGERY_MODELS } from '../src/surgery/all.js'
import { FORMULA_NAMES, FORMULAS } from '../src/terms/formulas.js'
import { projectFolder } from './ground.js'
import type { Corrected, Recalled } from './recall-command.js'
import { loadRuleSet } from './rules-folder.js'

/** As typed; every value is text until it has been checked. */
export interface WhatIsWrong {
  readonly rule?: string
  readonly formula?: string
  readonly coefficient?: string
  readonly lens?: string
  readonly constant?: string
  readonly corrected?: string
  readonly rules?: string
}

type Judged = Recalled | { readonly faults: readonly string[] }

const refusal = (...faults: readonly string[]) => ({ faults })

/** Exactly one thing is recalled at a time, so that every note says what it is about. */
export async function whatIsRecalled(options: WhatIsWrong, ground: PlanGround): Promise<Judged> {
  const { rule, formula, coefficient, lens, constant, corrected, rules } = options
  if ([rule, formula, coefficient, lens, rules].filter((one) => one !== undefined).length !== 1) {
    return refusal(
      'Name one thing: --rule ID, --formula ID, --coefficient TEXT, --lens LABEL with --constant NAME, or --rules FOLDER',
    )
  }
  const value = corrected === undefined ? undefined : numberFrom(corrected)
  if (value === 'not-a-number') return refusal(`--corrected ${corrected}: this is not a number. Write it like --corrected 118.5`)
  if (value !== undefined && coefficient === undefined && lens === undefined)
    return refusal('--corrected belongs to --coefficient or to --lens. For a rule, compare with changed rules: --rules FOLDER')
  if (constant !== undefined && lens === undefined)
    return refusal(`--constant ${constant}: say of which lens, such as: --lens "Quay A" --constant A`)
  if (rule !== undefined) return { wrong: { kind: 'rule', id: rule }, words: `The rule ${rule} was found wrong` }
  if (formula !== undefined) {
    const id = FORMULAS.find((one) => one === formula || FORMULA_NAMES[one].toLowerCase() === formula.toLowerCase())
    if (!id) return refusal(`--formula ${formula}: write one of ${FORMULAS.join(', ')}`)
    return { wrong: { kind: 'formula', id }, words: `The formula ${FORMULA_NAMES[id]} was found wrong` }
  }
  if (coefficient !== undefined) return wrongNumber(coefficient, value)
  if (lens !== undefined) return wrongConstant(lens, constant, value, ground)
  return changedRules(rules ?? '', ground)
}

/** A minus of any kind; a point or a comma. */
function numberFrom(text: string): number | 'not-a-number' {
  const plain = text
    .trim()
    .replace(/[\u2212\u2013]/g, '-')
    .replace(',', '.')
  return /^[+-]?\d+(\.\d+)?$/.test(plain) ? Number(plain) : 'not-a-number'
}

function wrongNumber(text: string, corrected: number | undefined): Judged {
  const published = [...OPTICS_MODELS, ...RISK_MODELS, ...SURGERY_MODELS]
  const models = modelsNamed(text, published)
  if (models.length === 0) return refusal(`--coefficient ${text}: no number is called so. See: soundings sources`)
  const named = models.map(({ model, coefficients }) => `${model} (${coefficients.join(', ')})`).join('; ')
  const recalled = { wrong: { kind: 'coefficient', models }, words: `A number was found wrong: ${named}` } as const
  if (corrected === undefined) return recalled
  const numbers = models.flatMap(({ id, model, coefficients }) => coefficients.map((name) => ({ id, model, name })))
  const [one] = numbers
  if (one === undefined || numbers.length > 1)
    return refusal(
      `--corrected ${corrected}: “${text}” names several numbers: ${numbers.map(({ id, name }) => `${id} ${name}`).join('; ')}. Write one of them`,
    )
  const { coefficients = [] } = published.find(({ id }) => id === one.id) ?? {}
  const was = coefficients.find(({ name }) => name === one.name)?.value ?? Number.NaN
  if (was === corrected) return refusal(`--corrected ${corrected}: that is the value that the program has`)
  return {
    ...recalled,
    words: `${recalled.words}. It was ${was} and should be ${corrected}`,
    corrected: correctedNumber(one, was, corrected),
  }
}

function correctedNumber(
  { id, model, name }: { readonly id: string; readonly model: string; readonly name: string },
  was: number,
  corrected: number,
): Corrected {
  if (isCorrectable(id, name)) return { changes: async (plan) => figureCorrected(plan, name, was, corrected) }
  return {
    cannot: `${model} is built with its numbers: none can be put in from outside, and a stored row does not tell its power with another one. What the other rows ask for stands above. Correct “${name}” in the program and run this again with it: then it tells what the program says now.`,
    changes: async () => [],
  }
}

function wrongConstant(label: string, constant: string | undefined, corrected: number | undefined, ground: PlanGround): Judged {
  const name = LENS_CONSTANTS.find((one) => one.toLowerCase() === constant?.toLowerCase())
  if (name === undefined)
    return refusal(
      `${constant === undefined ? '--constant is missing' : `--constant ${constant}`}: write one of ${LENS_CONSTANTS.join(', ')}`,
    )
  const wrong = { kind: 'lens-constant', label, name } as const
  const words = `The constant ${name} of ${label} in the lens list was found wrong`
  if (corrected === undefined) return { wrong, words }
  const list = ground.lensList && listWith(ground.lensList, label, name, corrected)
  if (list === undefined) {
    const lenses = ground.lensList?.lenses.map((lens) => lens.label).join(', ') ?? 'no lens'
    return refusal(
      `--lens ${label}: the lens list has no such lens with a ${name} of its own, so that nothing can be computed anew. It has: ${lenses}`,
    )
  }
  const changes: Corrected['changes'] = async (plan) => {
    const shown = shownConstant(plan, label, name)
    // The list may have been changed meanwhile: what the plan showed is put in for the comparison.
    const former = shown === undefined || !ground.lensList ? ground.lensList : listWith(ground.lensList, label, name, shown)
    const quick = { ...ground, monteCarlo: false }
    const [before, after] = [
      await makePlan(plan.case, { ...quick, lensList: former }),
      await makePlan(plan.case, { ...quick, lensList: list }),
    ]
    return constantCorrected(plan, before, after)
  }
  return { wrong, words: `${words}; it should be ${corrected}`, corrected: { changes } }
}

const shownConstant = ({ lens }: Parameters<Corrected['changes']>[0], label: string, name: LensConstantName) =>
  lens.lensLabel?.toLowerCase() === label.toLowerCase() ? lens.constants.find((one) => one.name === name)?.value : undefined

async function changedRules(folder: string, { ruleSet }: PlanGround): Promise<Judged> {
  try {
    const read = await loadRuleSet(join(projectFolder(), 'rules'), folder)
    if (read.kind === 'faults') {
      return { faults: read.faults.map(({ file, line, message, instead }) => `${file}:${line}: ${message}; ${instead}`) }
    }
    const rules = compileRules(read.ruleSet)
    return {
      rules,
      words: `The rules were changed, from set ${ruleSet.version.slice(0, 12)} to set ${read.ruleSet.version.slice(0, 12)}`,
    }
  } catch (fault) {
    const { code } = fault as NodeJS.ErrnoException
    if (code === 'ENOENT' || code === 'ENOTDIR' || code === 'EACCES') {
      return refusal(`--rules ${folder}: cannot be read; name a folder of rules that exists`)
    }
    throw fault
  }
}
