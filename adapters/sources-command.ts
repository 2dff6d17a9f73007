import { OPTICS_MODELS } from '../src/optics/all.js'
import type { RuleSet } from '../src/precautions/rules.js'
import { sourcesBySureness } from '../src/precautions/rules-in-words.js'
import { RISK_MODELS } from '../src/risk/all.js'
import { SURGERY_MODELS } from '../src/surgery/all.js'
import type { PublishedModel } from '../src/terms/published-model.js'
import { SURENESS, SURENESS_WORDS, type Sureness } from '../src/terms/source.js'
import type { ExitCode, Terminal } from './plan-command.js'

const ROOMS: readonly { readonly room: string; readonly models: readonly PublishedModel[] }[] = [
  { room: 'optics', models: OPTICS_MODELS },
  { room: 'risk', models: RISK_MODELS },
  { room: 'surgery', models: SURGERY_MODELS },
]

/** `soundings sources`: every number that plans stand on, with its source and how sure we are of it, for a check in print. */
export function sourcesCommand(ruleSet: RuleSet, options: { readonly json: boolean }, terminal: Terminal): ExitCode {
  const rules = sourcesBySureness(ruleSet)
  const all = ROOMS.flatMap(({ models }) => models.flatMap(({ coefficients }) => coefficients))
  const coefficients = countsOf(all.map(({ sureness }) => sureness))
  if (options.json) {
    const models = ROOMS.flatMap((each) => each.models.map((model) => ({ room: each.room, ...model })))
    terminal.out(`${JSON.stringify({ models, coefficients, rules: { version: ruleSet.version, sources: rules } }, null, 2)}\n`)
    return 0
  }
  for (const { room, models } of ROOMS) {
    terminal.out(`${room.toUpperCase()}\n\n`)
    for (const model of models) terminal.out(`${modelLines(model).join('\n')}\n\n`)
  }
  terminal.out(`Numbers in formulas and models, ${all.length}:\n${countLines(coefficients)}\n`)
  terminal.out(
    `Sources of the ${ruleSet.precautions.length} precautions and ${ruleSet.tensions.length} tensions:\n${countLines(rules)}`,
  )
  return 0
}

function modelLines({ id, about, model, population, years, source, coefficients }: PublishedModel): readonly string[] {
  return [
    `${model} (${id}): ${about}`,
    `  fitted on: ${population}, ${years}`,
    `  source: ${source.cite} (${SURENESS_WORDS[source.sureness]})`,
    ...coefficients.map(
      ({ name, value, unit, sureness, note }) =>
        `  ${name} = ${value}${unit === undefined ? '' : ` ${unit}`} (${SURENESS_WORDS[sureness]})${note === undefined ? '' : `: ${note}`}`,
    ),
  ]
}

type Counts = Readonly<Record<Sureness, number>>

const countsOf = (all: readonly Sureness[]): Counts =>
  Object.fromEntries(SURENESS.map((sureness) => [sureness, all.filter((each) => each === sureness).length])) as Counts

const countLines = (counts: Counts): string =>
  SURENESS.map((sureness) => `  ${String(counts[sureness]).padStart(5)} ${SURENESS_WORDS[sureness]}\n`).join('')
