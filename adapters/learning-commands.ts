import { join } from 'node:path'
import type { Command } from 'commander'
import { modelsNamed } from '../src/learning/recall.js'
import { ORDINARY_BASE_RATE } from '../src/learning/rupture-chart.js'
import { OPTICS_MODELS } from '../src/optics/all.js'
import { makePlan, type PlanGround } from '../src/plan/make-plan.js'
import { compileRules } from '../src/precautions/compile.js'
import { RISK_MODELS } from '../src/risk/all.js'
import { SURGERY_MODELS } from '../src/surgery/all.js'
import { FORMULA_NAMES, FORMULAS } from '../src/terms/formulas.js'
import { projectFolder, readGround } from './ground.js'
import type { LearningCommandOptions } from './learning-command.js'
import type { Recalled } from './recall-command.js'
import type { Wiring } from './rules-commands.js'
import { loadRuleSet } from './rules-folder.js'
import { openTrail } from './trail-file.js'

interface RecallOptions {
  readonly rule?: string
  readonly formula?: string
  readonly coefficient?: string
  readonly rules?: string
  readonly notify: boolean
  readonly json: boolean
}

/** `soundings learning` and `soundings recall`. */
export function addLearningCommands(program: Command, wiring: Wiring): void {
  const { terminal, settings, refuse } = wiring

  program
    .command('learning')
    .description('what past consults taught: prediction errors, constants, complications, opinions')
    .option('--out <file>', 'HTML page to write')
    .option('--csv <folder>', 'folder for the figures, one CSV file a table')
    .option('--operations <file>', 'CSV with all operations of the unit: date,rupture,consult')
    .option('--base-rate <years>', 'rate that expected capsule ruptures are carried to', ORDINARY_BASE_RATE.id)
    .option('--from <day>', 'only consults asked on or after it, as 2026-03-01')
    .option('--to <day>', 'only consults asked on or before it')
    .action(async (options: LearningCommandOptions) => {
      const opened = await openTrail(settings().DATABASE_URL)
      if ('fault' in opened) return refuse([opened.fault])
      const { learningCommand } = await import('./learning-command.js')
      process.exitCode = await learningCommand(options, opened.trail, terminal)
      await opened.close()
    })

  program
    .command('recall')
    .description('the consults that a wrong rule, formula or number touched, what would change, and whom to tell')
    .option('--rule <id>', 'a rule or tension')
    .option('--formula <id>', `a formula: ${FORMULAS.join(', ')}`)
    .option('--coefficient <text>', 'a number, or the model it belongs to, as "soundings sources" names it')
    .option('--rules <folder>', "a department's changed rules, compared with what past plans showed")
    .option('--notify', 'put one note into the thread of each consult, for its people', false)
    .option('--json', 'a line of JSON for each consult', false)
    .action(async (options: RecallOptions) => {
      const read = await readGround(settings(), 'allowed')
      if ('faults' in read) return refuse(read.faults)
      const recalled = await whatIsRecalled(options, read.ground)
      if ('faults' in recalled) return refuse(recalled.faults)
      const { DATABASE_URL: url, SOUNDINGS_SEAL_KEY } = settings()
      const opened = await openTrail(url)
      if ('fault' in opened) return refuse([opened.fault])
      const { recallCommand } = await import('./recall-command.js')
      const ground = { ...read.ground, monteCarlo: false }
      process.exitCode = await recallCommand(
        recalled,
        {
          trail: opened.trail,
          recompute: (plan) => makePlan(plan.case, ground),
          ...(options.notify ? { notify: await notifier(url, SOUNDINGS_SEAL_KEY) } : {}),
        },
        options,
        terminal,
      )
      await opened.close()
    })
}

async function notifier(url: string, secret: string | undefined) {
  const { openKeeping } = await import('./store/open.js')
  const { putNotes } = await import('./recall-notes.js')
  return async (notes: Parameters<typeof putNotes>[1]) => {
    const database = await openKeeping(url, secret)
    try {
      return await putNotes(database, notes, new Date().toISOString())
    } finally {
      await database.close()
    }
  }
}

const refusal = (...faults: readonly string[]) => ({ faults })

/** Exactly one thing is recalled at a time, so that every note says what it is about. */
export async function whatIsRecalled(
  options: Pick<RecallOptions, 'rule' | 'formula' | 'coefficient' | 'rules'>,
  ground: PlanGround,
): Promise<Recalled | { readonly faults: readonly string[] }> {
  const { rule, formula, coefficient, rules } = options
  if ([rule, formula, coefficient, rules].filter((one) => one !== undefined).length !== 1) {
    return refusal('Name one thing: --rule ID, --formula ID, --coefficient TEXT, or --rules FOLDER')
  }
  if (rule !== undefined) return { wrong: { kind: 'rule', id: rule }, words: `The rule ${rule} was found wrong` }
  if (formula !== undefined) {
    const id = FORMULAS.find((one) => one === formula || FORMULA_NAMES[one].toLowerCase() === formula.toLowerCase())
    if (!id) return refusal(`--formula ${formula}: write one of ${FORMULAS.join(', ')}`)
    return { wrong: { kind: 'formula', id }, words: `The formula ${FORMULA_NAMES[id]} was found wrong` }
  }
  if (coefficient !== undefined) {
    const models = modelsNamed(coefficient, [...OPTICS_MODELS, ...RISK_MODELS, ...SURGERY_MODELS])
    if (models.length === 0) return refusal(`--coefficient ${coefficient}: no number is called so. See: soundings sources`)
    const named = models.map(({ model, coefficients }) => `${model} (${coefficients.join(', ')})`).join('; ')
    return { wrong: { kind: 'coefficient', models }, words: `A number was found wrong: ${named}` }
  }
  return changedRules(rules ?? '', ground)
}

async function changedRules(folder: string, { ruleSet }: PlanGround): Promise<Recalled | { readonly faults: readonly string[] }> {
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
