import { pathToFileURL } from 'node:url'
import { haigisPower } from '../src/optics/haigis.js'
import { hofferQPower } from '../src/optics/hoffer-q.js'
import { holladay1Power } from '../src/optics/holladay-1.js'
import { simulateOutcome } from '../src/optics/monte-carlo.js'
import { normals, seeded } from '../src/optics/random.js'
import { sensitivitiesOf } from '../src/optics/sensitivity.js'
import { srkTPower } from '../src/optics/srk-t.js'
import { t2Power } from '../src/optics/t2.js'
import { uncertaintyBudget } from '../src/optics/uncertainty.js'
import { FORMULA_NAMES, FORMULAS, type FormulaId } from '../src/terms/formulas.js'
import { type Dioptres, dioptres, type Millimetres, mm } from '../src/terms/units.js'

type Power = (axialLength: Millimetres, keratometry: Dioptres, target: Dioptres) => Dioptres

const HAIGIS = { a0: mm(1.2), a1: 0.4, a2: 0.1 }
const POWERS: Readonly<Record<FormulaId, Power>> = {
  'srk-t': (axialLength, keratometry, target) => srkTPower(axialLength, keratometry, 118.7, target),
  t2: (axialLength, keratometry, target) => t2Power(axialLength, keratometry, 118.7, target),
  'holladay-1': (axialLength, keratometry, target) => holladay1Power(axialLength, keratometry, mm(1.62), target),
  'hoffer-q': (axialLength, keratometry, target) => hofferQPower(axialLength, keratometry, mm(5.37), target),
  haigis: (axialLength, keratometry, target) => haigisPower(axialLength, keratometry, mm(3.5), HAIGIS, target),
}

const EVALUATIONS = 3_000_000
const ROUNDS = 5
const BUDGET_PER_SECOND = 3_000_000

/** Median evaluations a second over the rounds; each evaluation is of another eye, and the sum keeps the work from being skipped. */
function evaluationsPerSecond(power: Power): number {
  const rates: number[] = []
  let sum = 0
  for (let round = 0; round <= ROUNDS; round += 1) {
    const start = performance.now()
    for (let count = 0; count < EVALUATIONS; count += 1) {
      sum += power(mm(20 + (count % 1600) * 0.01), dioptres(40 + (count % 40) * 0.1), dioptres(-(count % 8) * 0.25))
    }
    // The first round warms up.
    if (round > 0) rates.push(EVALUATIONS / ((performance.now() - start) / 1000))
  }
  if (!Number.isFinite(sum)) throw new Error('an eye of this benchmark is outside a formula')
  return rates.sort((a, b) => a - b)[ROUNDS >> 1] ?? Number.NaN
}

const DRAWS = 10_000

/** Median milliseconds of a simulation of 10,000 draws, and of the same draws without any formula. */
function simulationMilliseconds(formula: FormulaId): { readonly simulated: number; readonly drawn: number } {
  const eye = { axialLength: mm(30), keratometry: dioptres(43), anteriorChamberDepth: mm(3.5) }
  const constants = { aConstant: 118.7, haigis: HAIGIS }
  const options = { adjustment: 'none' } as const
  const power = dioptres(5)
  const sensitivities = sensitivitiesOf(formula, eye, constants, options, power)
  if (sensitivities.kind !== 'computed') throw new Error(sensitivities.reason)
  const budget = uncertaintyBudget(sensitivities.value, { lengthMethod: 'optical', staphyloma: false, lensPower: power })
  const simulated = medianMilliseconds((round) => {
    const outcome = simulateOutcome(formula, eye, constants, options, power, budget, round, DRAWS)
    if (outcome.kind !== 'computed') throw new Error(outcome.reason)
  })
  const drawn = medianMilliseconds((round) => {
    const normal = normals(seeded(round))
    const values = new Float64Array(DRAWS)
    for (let draw = 0; draw < DRAWS; draw += 1) values[draw] = normal() + normal() + normal() + normal() + normal()
    values.sort()
  })
  return { simulated, drawn }
}

function medianMilliseconds(work: (round: number) => void): number {
  const times: number[] = []
  for (let round = 0; round < 60; round += 1) {
    const start = performance.now()
    work(round)
    if (round >= 20) times.push(performance.now() - start)
  }
  return times.sort((a, b) => a - b)[times.length >> 1] ?? Number.NaN
}

/** Prints evaluations a second of each formula on one core, and the ratio to the budget; then the time of a simulation, and its ratio to drawing the numbers alone. */
export async function run(): Promise<void> {
  console.table(
    Object.fromEntries(
      FORMULAS.map((id) => {
        const rate = evaluationsPerSecond(POWERS[id])
        return [
          FORMULA_NAMES[id],
          { 'million a second': (rate / 1e6).toFixed(1), 'times the budget': (rate / BUDGET_PER_SECOND).toFixed(1) },
        ]
      }),
    ),
  )
  console.table(
    Object.fromEntries(
      FORMULAS.map((id) => {
        const { simulated, drawn } = simulationMilliseconds(id)
        return [
          FORMULA_NAMES[id],
          { 'ms for 10,000 draws': simulated.toFixed(2), 'times the bare draws': (simulated / drawn).toFixed(2) },
        ]
      }),
    ),
  )
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) await run()
