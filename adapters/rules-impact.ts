import { factsOfCase } from '../src/plan/facts-of-case.js'
import type { Plan } from '../src/plan/plan.js'
import type { CompiledRules } from '../src/precautions/compile.js'
import { changedFindings, effectOf, type FindingChange, type Touched, tally } from '../src/precautions/impact.js'
import type { TrailReading } from '../src/trail/trail-store.js'
import type { ExitCode, Terminal } from './plan-command.js'

/** More changed cases than this are counted, not listed, unless JSON is asked for. */
const MOST_LISTED = 50

/**
 * `soundings rules impact`: what a changed rule set would say of every past case. Cases stream through one by one.
 * With `json`, one line of JSON for each changed case, then one with the totals.
 */
export async function rulesImpact(
  before: CompiledRules,
  after: CompiledRules,
  trail: TrailReading,
  options: { readonly json: boolean },
  terminal: Terminal,
): Promise<ExitCode> {
  const counted = tally()
  let cases = 0
  let changed = 0
  let unread = 0
  for await (const { ref, planHash } of pastPlans(trail)) {
    const plan = await readOrSay(trail, ref, planHash, terminal)
    if (plan === undefined) {
      unread += 1
      continue
    }
    cases += 1
    const changes = changedFindings(before, after, factsOfCase(plan.case, plan.lens.recommended?.powerD))
    if (changes.length === 0) continue
    changed += 1
    counted.add(changes)
    if (options.json) terminal.out(`${JSON.stringify({ ref, planHash, changes })}\n`)
    else if (changed <= MOST_LISTED) terminal.out(`${ref}  ${changes.map(inWords).join(', ')}\n`)
  }
  const totals = { before: before.version, after: after.version, cases, changed, unread, touched: counted.touched() }
  terminal.out(options.json ? `${JSON.stringify(totals)}\n` : totalsInWords(totals))
  return 0
}

interface Totals {
  readonly before: string
  readonly after: string
  readonly cases: number
  readonly changed: number
  readonly unread: number
  readonly touched: readonly Touched[]
}

/** Every plan that was posted, in the order of the trail. */
async function* pastPlans(trail: TrailReading): AsyncGenerator<{ readonly ref: string; readonly planHash: string }> {
  for await (const { ref, body } of trail.links()) {
    const { planHash } = JSON.parse(body) as { readonly planHash?: unknown }
    if (typeof planHash === 'string') yield { ref, planHash }
  }
}

/** One plan that was altered or is gone is said, and does not hide what the others tell. */
async function readOrSay(trail: TrailReading, ref: string, hash: string, terminal: Terminal): Promise<Plan | undefined> {
  try {
    const plan = await trail.plan(hash)
    if (plan === undefined) terminal.err(`${ref}: its plan is not in the trail\n`)
    return plan
  } catch (fault) {
    terminal.err(`${ref}: ${fault instanceof Error ? fault.message : 'its plan cannot be read'}\n`)
    return undefined
  }
}

const EFFECTS = { gained: 'gains', lost: 'loses', otherwise: 'changes' } as const

const inWords = (change: FindingChange): string =>
  `${EFFECTS[effectOf(change)]} ${change.id} (${change.before} → ${change.after})`

function totalsInWords({ before, after, cases, changed, unread, touched }: Totals): string {
  const width = Math.max(10, ...touched.map(({ id }) => id.length))
  const row = (id: string, gained: string, lost: string, otherwise: string) =>
    `${id.padEnd(width)}  ${gained.padStart(6)}  ${lost.padStart(6)}  ${otherwise.padStart(9)}`
  const table = touched.map((each) => row(each.id, `${each.gained}`, `${each.lost}`, `${each.otherwise}`))
  return [
    ...(changed > MOST_LISTED ? [`The first ${MOST_LISTED} of ${changed} changed cases are listed; --json lists all.`] : []),
    ...(changed > 0 ? ['', row('precaution', 'gained', 'lost', 'otherwise'), ...table, ''] : []),
    `${changed} of ${cases} past ${cases === 1 ? 'plan' : 'plans'} would change.`,
    ...(unread > 0 ? [`${unread} more could not be read.`] : []),
    `Present rule set ${before}`,
    `Changed rule set ${after}`,
    '',
  ].join('\n')
}
