import { pathToFileURL } from 'node:url'
import { Engine } from 'json-rules-engine'
import { mean, quantileSorted, sampleStandardDeviation } from 'simple-statistics'
import { readGround } from '../adapters/ground.js'
import type { Case } from '../src/case/case.js'
import { understand } from '../src/intake/understand.js'
import { BARE_FORMULAS } from '../src/optics/bare-formulas.js'
import { thinLensRefraction } from '../src/optics/vergence.js'
import { factsOfCase } from '../src/plan/facts-of-case.js'
import { lensPlan } from '../src/plan/lens-plan.js'
import { makePlan } from '../src/plan/make-plan.js'
import { engineRule } from '../src/precautions/engine-run.js'
import { evaluateRules } from '../src/precautions/evaluate.js'
import { EVERY_OPERATION } from '../src/precautions/fold.js'
import { OPERATOR_NAMES, OPERATORS } from '../src/precautions/operators.js'
import { questionsOf } from '../src/precautions/rules.js'
import { dioptres, mm } from '../src/terms/units.js'

const ROUNDS = 400
const WARM_UP = 100
const EYES = 20
const DRAWS = 10_000

/** An invented long eye; each has other numbers, so that nothing is planned twice. */
const message = (at: number): string =>
  [
    `LE ${50 + at}M, AL ${(26.5 + at * 0.3).toFixed(2)} optical SD 0.02, K1 ${(41 + at * 0.1).toFixed(2)}@95 K2 ${(42.6 + at * 0.1).toFixed(2)}@5`,
    'ACD 3.45, LT 4.90, WTW 12.1, CCT 548; brown NO 5.2; ECD 2180; no fundal view, B-scan flat',
    `fellow eye pseudophakic -1.50; target -1.75; registrar; ${at % 2 === 0 ? 'A 118.9' : 'anticoagulant: none'}; ? chop or manual`,
  ].join('\n')

function inventedCases(): readonly Case[] {
  return Array.from({ length: EYES }, (_, at) => {
    const understood = understand(message(at), { today: '2026-03-02', lensLabels: [] })
    if (understood.kind !== 'case') throw new Error(`invented message ${at} was not read as a case`)
    return understood.case
  })
}

/**
 * A plan with and without Monte Carlo, against the bare json-rules-engine on the same rules and the same eyes in turn in one
 * process; then the simulation against the same draws written plainly on `Math.random` and described by the library simple-statistics. Prints medians and ratios.
 */
export async function run(): Promise<void> {
  const read = await readGround({}, 'allowed')
  if ('faults' in read) throw new Error(read.faults.join('\n'))
  const { ground } = read
  const engine = new Engine([], { allowUndefinedFacts: false })
  for (const name of OPERATOR_NAMES) engine.addOperator(name, OPERATORS[name])
  for (const question of questionsOf(ground.ruleSet)) engine.addRule(engineRule(question))

  const cases = inventedCases()
  const lens = (known: Case, monteCarlo: boolean) => lensPlan(known, ground.lensList, { monteCarlo })
  const ways: Readonly<Record<string, (known: Case) => unknown>> = {
    'bare engine': (known) => engine.run({ ...factsOfCase(known, undefined), [EVERY_OPERATION]: true }),
    'rules alone': (known) => evaluateRules(ground.ruleSet, factsOfCase(known, undefined)),
    'lens part, without Monte Carlo': (known) => lens(known, false),
    'lens part, with Monte Carlo': (known) => lens(known, true),
    'plan, without Monte Carlo': (known) => makePlan(known, { ...ground, monteCarlo: false }),
    'plan, with Monte Carlo': (known) => makePlan(known, { ...ground, monteCarlo: true }),
  }
  const times = await medians(ways, cases)
  const at = (name: string): number => times[name] ?? Number.NaN
  const bare = at('bare engine')
  const draws = at('lens part, with Monte Carlo') - at('lens part, without Monte Carlo')
  const row = (time: number, budget = '') => ({ 'µs an eye': time.toFixed(0), 'x the engine': (time / bare).toFixed(2), budget })
  console.table({
    ...Object.fromEntries(Object.keys(ways).map((name) => [name, row(at(name), BUDGETS[name])])),
    'Monte Carlo alone, 10,000 draws': row(draws, 'at most 2.5 x'),
  })
  const plain = plainSimulation()
  console.info(
    `the same draws plainly on Math.random: ${plain.toFixed(0)} µs; ours takes ${(draws / plain).toFixed(2)} x of that`,
  )
}

const BUDGETS: Readonly<Record<string, string>> = { 'plan, without Monte Carlo': 'at most 1.3 x' }

/** Median microseconds of each way over the eyes in turn; who goes first changes from round to round. */
async function medians(
  ways: Readonly<Record<string, (known: Case) => unknown>>,
  cases: readonly Case[],
): Promise<Readonly<Record<string, number>>> {
  const names = Object.keys(ways)
  const times: Record<string, number[]> = Object.fromEntries(names.map((name) => [name, []]))
  for (let round = 0; round < ROUNDS + WARM_UP; round += 1) {
    const known = cases[round % cases.length]
    for (let turn = 0; turn < names.length; turn += 1) {
      const name = names[(turn + Math.floor(round / EYES)) % names.length]
      const work = name === undefined ? undefined : ways[name]
      if (!known || !work || name === undefined) continue
      const start = process.hrtime.bigint()
      await work(known)
      const time = Number(process.hrtime.bigint() - start) / 1000
      if (round >= WARM_UP) times[name]?.push(time)
    }
  }
  return Object.fromEntries(names.map((name) => [name, median(times[name] ?? [])]))
}

const median = (values: readonly number[]): number =>
  values.toSorted((one, other) => one - other)[Math.floor(values.length / 2)] ?? Number.NaN

/** Median microseconds of 10,000 draws as one would write them without a seed: `Math.random`, Box and Muller, an array, a general library. */
function plainSimulation(): number {
  const formula = BARE_FORMULAS['holladay-1']({ aConstant: 118.9 })
  const normal = () => Math.sqrt(-2 * Math.log(1 - Math.random())) * Math.cos(2 * Math.PI * Math.random())
  const times: number[] = []
  for (let round = 0; round < 60; round += 1) {
    const start = process.hrtime.bigint()
    const found: number[] = []
    for (let draw = 0; draw < DRAWS; draw += 1) {
      const length = mm(28.8 + 0.02 * normal() + 0.2 * normal())
      const cornea = dioptres(42.65 + 0.18 * normal())
      const lens = mm(formula.lensPosition(length, cornea, mm(3.45)) + 0.3 * normal())
      const power = dioptres(9 + 0.3 * (2 * Math.random() - 1))
      const left = thinLensRefraction(formula.opticalLength(length), formula.cornealPower(cornea), lens, power)
      found.push(left + 0.39 * normal())
    }
    found.sort((one, other) => one - other)
    const said = [
      mean(found),
      sampleStandardDeviation(found),
      ...[0.025, 0.5, 0.975].map((share) => quantileSorted(found, share)),
    ]
    if (said.some(Number.isNaN)) throw new Error('an eye of this benchmark is outside a formula')
    if (round >= 20) times.push(Number(process.hrtime.bigint() - start) / 1000)
  }
  return median(times)
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) await run()
