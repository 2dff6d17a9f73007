#!/usr/bin/env node
import { Command } from 'commander'
import type { FindOptions } from './find-command.js'
import { readGround } from './ground.js'
import { planCommand, readMessage, type Terminal } from './plan-command.js'
import { readSettings, type Settings } from './settings.js'
import type { SurpriseOptions } from './surprise-command.js'

const terminal: Terminal = {
  out: (text) => process.stdout.write(text),
  err: (text) => process.stderr.write(text),
  width: Math.min(100, process.stdout.columns ?? 100),
  today: new Date().toISOString().slice(0, 10),
}

/** Says what is wrong, one line each, and ends with the code for refused input. */
function refuse(faults: readonly string[]): never {
  for (const fault of faults) terminal.err(`${fault}\n`)
  process.exit(2)
}

function settingsOrRefuse(): Settings {
  const read = readSettings(process.env)
  return 'settings' in read ? read.settings : refuse(read.faults.map(({ name, message }) => `${name}: ${message}`))
}

async function groundOrRefuse(settings: Settings) {
  const read = await readGround(settings, 'allowed')
  return 'ground' in read ? read.ground : refuse(read.faults)
}

// A reader that stops early (a pager, `head`) is no fault of ours.
process.stdout.on('error', (fault: NodeJS.ErrnoException) => process.exit(fault.code === 'EPIPE' ? 0 : 1))

const program = new Command('soundings').description('Second opinions before hard cataract operations').showHelpAfterError()

program
  .command('serve')
  .description('start the page, the chats that are set up, and the trail')
  .action(async () => {
    const { serve } = await import('./main.js')
    const started = await serve(settingsOrRefuse())
    if ('faults' in started) refuse(started.faults)
    const end = () => void started.stop().then(() => process.exit(0))
    process.once('SIGTERM', end)
    process.once('SIGINT', end)
  })

program
  .command('plan')
  .description('a case message in, the plan out')
  .argument('[file]', 'file with the message, or - for standard input', '-')
  .option('--json', 'the plan as JSON', false)
  .option('--schema', 'print the JSON Schema of the plan and stop', false)
  .action(async (file: string, options: { json: boolean; schema: boolean }) => {
    if (options.schema) {
      const { planJsonSchema } = await import('../src/plan/json-schema.js')
      terminal.out(`${JSON.stringify(planJsonSchema(), null, 2)}\n`)
      return
    }
    let text: string
    try {
      text = readMessage(file)
    } catch (fault) {
      refuse([`${file}: ${fault instanceof Error ? fault.message : 'cannot be read'}`])
    }
    process.exitCode = await planCommand(text, options, await groundOrRefuse(settingsOrRefuse()), terminal)
  })

program
  .command('surprise')
  .description('explain a refraction found after surgery; power to exchange or to add')
  .option('--eye <side>', 'left or right')
  .option('--implanted <D>', 'power of the implanted lens, signed')
  .option('--predicted <D>', 'refraction predicted for it, spherical equivalent, signed')
  .option('--achieved <D>', 'refraction found, spherical equivalent, signed')
  .option('--keratometry <D>', 'mean keratometry after surgery')
  .option('--lens-position <mm>', 'effective lens position, as planned or measured')
  .option('--axial-length <mm>', 'with --a-constant, in place of the position')
  .option('--a-constant <A>', 'with --axial-length, in place of the position')
  .option('--wanted <D>', 'refraction wanted now, signed; the predicted one if left out')
  .option('--added-lens-position <mm>', 'where an added lens would stand')
  .option('--json', 'the answer as JSON', false)
  .action(async (options: SurpriseOptions) => {
    const { surpriseCommand } = await import('./surprise-command.js')
    process.exitCode = surpriseCommand(options, terminal)
  })

program
  .command('find')
  .description('consults by words, ranges, people, days and outcomes, in the same words as in a chat; quote what has < or >')
  .argument(
    '<words...>',
    "words, a reference, 'AL>30', 'ECD 1500-2000', eye:left, step:nucleus, by:NAME, outcome:rupture, from:2026-01",
  )
  .option('--page <n>', 'which page of them')
  .option('--json', 'a line of JSON for each consult', false)
  // "target under -2" holds what looks like an option.
  .allowUnknownOption()
  .action(async (words: string[], options: FindOptions) => {
    const { openTrail } = await import('./trail-file.js')
    const opened = await openTrail(settingsOrRefuse().DATABASE_URL)
    if ('fault' in opened) refuse([opened.fault])
    const { findCommand } = await import('./find-command.js')
    process.exitCode = await findCommand(words, options, opened.trail, terminal)
    await opened.close()
  })

program
  .command('selfcheck')
  .description('whether this installation works: settings, rules, formulas against printed powers, plan, picture, trail')
  .action(async () => {
    const { selfcheckCommand } = await import('./selfcheck-command.js')
    process.exitCode = await selfcheckCommand(process.env, terminal)
  })

// The server is ready sooner without what the other commands need.
if (process.argv[2] !== 'serve') {
  const wiring = { terminal, settings: settingsOrRefuse, refuse }
  const { addRecordCommands } = await import('./record-commands.js')
  addRecordCommands(program, wiring)
  const { addRulesCommands } = await import('./rules-commands.js')
  addRulesCommands(program, wiring)
  const { addLearningCommands } = await import('./learning-commands.js')
  addLearningCommands(program, wiring)
  const { addTrailCommands } = await import('./trail-commands.js')
  addTrailCommands(program, wiring)
}

await program.parseAsync()
