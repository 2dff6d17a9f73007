import { pathToFileURL } from 'node:url'
import { Engine } from 'json-rules-engine'
import { loadRuleSet } from '../adapters/rules-folder.js'
import { compileRules } from '../src/precautions/compile.js'
import { engineRule } from '../src/precautions/engine-run.js'
import { evaluateRules } from '../src/precautions/evaluate.js'
import type { FactRecord, FactValue } from '../src/precautions/facts.js'
import { EVERY_OPERATION } from '../src/precautions/fold.js'
import { OPERATOR_NAMES, OPERATORS } from '../src/precautions/operators.js'
import { FACT_NAMES, termOf } from '../src/precautions/read-condition.js'
import { questionsOf, type RuleSet } from '../src/precautions/rules.js'

const ROUNDS = 640
const RECORDS = 20
const COMPILED_REPEATS = 50

/**
 * The shipped rules over the same invented eyes in turn in one process: the bare engine (its own
 * verdict), the evaluation that plans stand on, and the compiled form. Prints medians of microseconds an eye and their ratios.
 */
export async function run(): Promise<void> {
  const outcome = await loadRuleSet('rules')
  if (outcome.kind === 'faults')
    throw new Error(outcome.faults.map(({ file, line, message }) => `${file}:${line} ${message}`).join('\n'))
  const { ruleSet } = outcome
  const engine = bareEngine(ruleSet)
  const compiled = compileRules(ruleSet)
  const ways: readonly Way[] = [
    { repeats: 1, work: (facts) => engine.run({ ...facts, [EVERY_OPERATION]: true }) },
    { repeats: 1, work: (facts) => bareEngine(ruleSet).run({ ...facts, [EVERY_OPERATION]: true }) },
    { repeats: 1, work: (facts) => evaluateRules(ruleSet, facts) },
    { repeats: COMPILED_REPEATS, work: async (facts) => compiled.findings(facts) },
  ]
  const [bare = 0, fresh = 0, evaluated = 0, closures = 0] = await medians(ways)
  const row = (time: number, ratio: string, budget: string) => ({ 'µs an eye': time.toFixed(1), ratio, budget })
  console.info(`${questionsOf(ruleSet).length} questions to the engine, a tension asking two`)
  console.table({
    'bare engine, built once': row(bare, '1', ''),
    'bare engine, built for each eye': row(fresh, `${(fresh / bare).toFixed(2)} x`, 'two runs on one engine lose rules'),
    'three-valued evaluation': row(evaluated, `${(evaluated / bare).toFixed(2)} x the bare engine`, 'at most 1.3 x'),
    'compiled form': row(closures, `${(bare / closures).toFixed(0)} x as fast as the bare engine`, 'at least 50 x'),
  })
}

function bareEngine(ruleSet: RuleSet): Engine {
  const engine = new Engine([], { allowUndefinedFacts: false })
  for (const name of OPERATOR_NAMES) engine.addOperator(name, OPERATORS[name])
  for (const question of questionsOf(ruleSet)) engine.addRule(engineRule(question))
  return engine
}

interface Way {
  readonly repeats: number
  readonly work: (facts: FactRecord) => Promise<unknown>
}

/** Median microseconds of each way. Who goes first changes from round to round, since each clears up after the one before. */
async function medians(ways: readonly Way[]): Promise<readonly number[]> {
  const records = Array.from({ length: RECORDS }, (_, at) => inventedEye(at))
  const times: number[][] = ways.map(() => [])
  for (let round = 0; round < ROUNDS; round += 1) {
    const facts = records[round % RECORDS] ?? inventedEye(0)
    for (const at of turn(ways.length, Math.floor(round / RECORDS))) {
      const way = ways[at]
      if (way === undefined) continue
      const start = process.hrtime.bigint()
      for (let repeat = 0; repeat < way.repeats; repeat += 1) await way.work(facts)
      times[at]?.push(Number(process.hrtime.bigint() - start) / 1000 / way.repeats)
    }
  }
  return times.map(median)
}

/** 0 to count - 1 in an order that another seed changes: rotated, and every other time backwards. */
function turn(count: number, seed: number): readonly number[] {
  const rotated = Array.from({ length: count }, (_, at) => (at + seed) % count)
  return Math.floor(seed / count) % 2 === 0 ? rotated : rotated.reverse()
}

const median = (values: readonly number[]): number =>
  values.toSorted((one, other) => one - other)[Math.floor(values.length / 2)] ?? 0

/** An invented eye: every fact known but each seventh, its values walking through their range from eye to eye. */
function inventedEye(at: number): FactRecord {
  const values = FACT_NAMES.map((fact, place): [string, FactValue] => {
    const step = (at * 7 + place * 3) % 11
    const term = termOf(fact)
    if ((at + place) % 7 === 0) return [fact, null]
    if (term.kind === 'yes-no') return [fact, step > 7]
    if (term.kind === 'choice') return [fact, term.values[step % term.values.length] ?? null]
    return [fact, term.low + ((term.high - term.low) * step) / 11]
  })
  return Object.fromEntries(values) as FactRecord
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) await run()
