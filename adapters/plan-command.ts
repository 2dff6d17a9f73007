import { readFileSync } from 'node:fs'
import { planCard } from '../src/cards/plan-card.js'
import { identifierMessage } from '../src/intake/identifiers.js'
import { understand } from '../src/intake/understand.js'
import { makePlan, type PlanGround } from '../src/plan/make-plan.js'
import { plainText } from '../src/views/plain.js'

export interface Terminal {
  readonly out: (text: string) => void
  readonly err: (text: string) => void
  readonly width: number
  /** ISO date of today, for dates such as "tomorrow". */
  readonly today: string
}

/** Exit codes: the plan was made, or the input was refused and each problem said. */
export type ExitCode = 0 | 2

/**
 * `soundings plan`: a case message in, the plan out. Problems go to the error stream, each with its line and field;
 * those that do not stand in the way of a plan are said as well.
 */
export async function planCommand(
  text: string,
  options: { readonly json: boolean },
  ground: PlanGround,
  terminal: Terminal,
): Promise<ExitCode> {
  const lensLabels = ground.lensList?.lenses.map(({ label }) => label) ?? []
  const understood = understand(text, { today: terminal.today, lensLabels })
  if (understood.kind === 'identifiers') {
    terminal.err(`${identifierMessage(understood.found)}\n`)
    return 2
  }
  if (understood.kind === 'guidance') {
    terminal.err(`${understood.message}\n`)
    return 2
  }
  for (const { line, item, field, message, instead } of understood.problems) {
    terminal.err(`line ${line}, ${field ? `${field}, ` : ''}"${item}": ${message} Write instead: ${instead}\n`)
  }
  if (understood.problems.some(({ blocks }) => blocks)) return 2
  const plan = await makePlan(understood.case, ground)
  terminal.out(options.json ? `${JSON.stringify(plan, null, 2)}\n` : plainText(planCard(plan), { width: terminal.width }))
  return 0
}

/** Largest message a terminal reads: far beyond any case, so that a wrong file is refused instead of swallowed. */
const LARGEST_BYTES = 2_000_000

/** The message from a file, or from standard input for `-`. */
export function readMessage(path: string): string {
  const content = readFileSync(path === '-' ? 0 : path)
  return content.subarray(0, LARGEST_BYTES).toString('utf8')
}
