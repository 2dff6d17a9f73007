import { pathToFileURL } from 'node:url'
import { Engine } from 'json-rules-engine'
import { loadRuleSet } from '../adapters/rules-folder.js'
import { compileRules } from '../src/precautions/compile.js'
import { engineRulesOf } from '../src/precautions/engine-run.js'
import { evaluateRules } from '../src/precautions/evaluate.js'
import type { FactRecord, FactValue } from '../src/precautions/facts.js'
import { EVERY_OPERATION } from '../src/precautions/fold.js'
import { OPERATOR_NAMES, OPERATORS } from '../src/precautions/operators.js'
import { FACT_NAMES, termOf } from '../src/precautions/read-condition.js'

const ROUNDS = 400
const RECORDS = 20
const COMPILED_REPEATS = 50

/**
 * The shipped rules, three ways, over the same invented eyes in turn in one process: the bare engine (built once, its own
 * verdict), the evaluation that plans stand on, and the compiled form. Prints medians of microseconds an eye and their ratios.
 */
export async function run(): Promise<void> {
  const outcome = await loadRuleSet('rules')
  if (outcome.kind === 'faults')
    throw new Error(outcome.faults.map(({ file, line, message }) => `${file}:${line} ${message}`).join('\n'))
  const { ruleSet } = outcome
  const records = Array.from({ length: RECORDS }, (_, at) => inventedEye(at))
  const engine = new Engine([], { allowUndefinedFacts: false })
  for (const name of OPERATOR_NAMES) engine.addOperator(name, OPERATORS[name])
  for (const rule of engineRulesOf(ruleSet)) engine.addRule(rule)
  const compiled = compileRules(ruleSet)
  const times: Record<'bare' | 'evaluated' | 'compiled', number[]> = { bare: [], evaluated: [], compiled: [] }
  for (let round = 0; round < ROUNDS; round += 1) {
    const facts = records[round % RECORDS] ?? inventedEye(0)
    times.bare.push(await microseconds(() => engine.run({ ...facts, [EVERY_OPERATION]: true })))
    times.evaluated.push(await microseconds(() => evaluateRules(ruleSet, facts)))
    const many = await microseconds(async () => {
      for (let repeat = 0; repeat < COMPILED_REPEATS; repeat += 1) compiled.findings(facts)
    })
    times.compiled.push(many / COMPILED_REPEATS)
  }
  const [bare, evaluated, closures] = [median(times.bare), median(times.evaluated), median(times.compiled)]
  const row = (time: number, ratio: string, budget: string) => ({ 'µs an eye': time.toFixed(1), ratio, budget })
  console.info(`${engineRulesOf(ruleSet).length} questions to the engine, a tension asking two`)
  console.table({
    'bare engine': row(bare, '1', ''),
    'three-valued evaluation': row(evaluated, `${(evaluated / bare).toFixed(2)} x the bare engine`, 'at most 1.3 x'),
    'compiled form': row(closures, `${(bare / closures).toFixed(0)} x as fast as the bare engine`, 'at least 50 x'),
  })
}

async function microseconds(work: () => Promise<unknown>): Promise<number> {
  const start = process.hrtime.bigint()
  await work()
  return Number(process.hrtime.bigint() - start) / 1000
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
