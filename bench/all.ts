import { run as exports } from './export.js'
import { run as formulas } from './formulas.js'
import { run as intake } from './intake.js'
import { run as plan } from './plan.js'
import { run as rules } from './rules.js'
import { run as slackEcho } from './slack-echo.js'
import { run as start } from './start.js'
import { run as trail } from './trail.js'

/** Every benchmark in turn, in one process after another's work is done. The large trail has its own command. */
const BENCHMARKS: readonly (readonly [string, () => Promise<void>])[] = [
  ['lens-power formulas', formulas],
  ['intake', intake],
  ['rules', rules],
  ['plan', plan],
  ['a case on Slack against an echo', slackEcho],
  ['trail', () => trail()],
  ['export, memory held', exports],
  ['start', start],
]

for (const [name, run] of BENCHMARKS) {
  console.info(`\n${name}`)
  await run()
}
