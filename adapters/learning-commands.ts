import { userInfo } from 'node:os'
import type { Command } from 'commander'
import { LENS_CONSTANTS } from '../src/learning/corrected.js'
import { ORDINARY_BASE_RATE } from '../src/learning/rupture-chart.js'
import { makePlan } from '../src/plan/make-plan.js'
import { FORMULAS } from '../src/terms/formulas.js'
import { readGround } from './ground.js'
import type { LearningCommandOptions } from './learning-command.js'
import { type WhatIsWrong, whatIsRecalled } from './recall-what.js'
import type { Wiring } from './rules-commands.js'
import { openTrail } from './trail-file.js'

interface RecallOptions extends WhatIsWrong {
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
    .option('--lens <label>', 'with --constant: a lens of the list whose constant was wrong')
    .option('--constant <name>', `which constant of it: ${LENS_CONSTANTS.join(', ')}`)
    .option('--corrected <value>', 'what the number or constant should be: says what it would change')
    .option('--rules <folder>', "a department's changed rules, compared with what past plans showed")
    .option('--notify', 'write it into each consult, whose card then says it, with a note in its thread for its people', false)
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
      const { username } = userInfo()
      const by = { id: `terminal:${username}`, name: username }
      return await putNotes(database, notes, new Date().toISOString(), by)
    } finally {
      await database.close()
    }
  }
}
