import { type Checkpoint, checkpointText, readCheckpoint } from '../src/trail/checkpoint.js'
import { examineTrail } from '../src/trail/examine.js'
import type { LogSeen } from '../src/trail/record-acts.js'
import type { ChainEnd } from '../src/trail/seals.js'
import type { Terminal } from './plan-command.js'
import type { OpenForChecking } from './trail-tables.js'

/** The trail is as it was written; something is not; the command was not understood. */
export type VerifyCode = 0 | 1 | 2

const HEAD = /^[0-9a-f]{64}$/

/**
 * `soundings verify`: reads the whole trail and says where it is not as it was written.
 * The checkpoint it prints, noted where nobody who can write to the trail can, proves later that everything up to it is
 * still there.
 */
export async function verifyCommand(
  opened: Omit<OpenForChecking, 'close'>,
  options: { readonly checkpoint?: string },
  terminal: Pick<Terminal, 'out' | 'err'>,
): Promise<VerifyCode> {
  const given = options.checkpoint?.trim().toLowerCase()
  const noted = given === undefined ? undefined : readCheckpoint(given)
  if (given !== undefined && !noted && !HEAD.test(given)) {
    terminal.err(
      '--checkpoint: write the checkpoint that an earlier "soundings verify" printed, or the 64 hexadecimal digits of its head\n',
    )
    return 2
  }
  const notedHead = noted?.events.head ?? given
  const seen = await examineTrail(opened.trail, notedHead)
  const { events, consults, plans, erasedPlans, texts, erasedTexts, head, fault } = seen
  terminal.out(
    `${events} events, ${consults} consults, ${plans} plans (${erasedPlans} erased), ${texts} texts (${erasedTexts} erased)\n`,
  )
  if (fault) {
    terminal.err(`ALTERED: ${fault.words}\n`)
    terminal.err(`Everything before event ${fault.position} is as it was written. The other tables were not compared.\n`)
    return 1
  }
  const logs = await opened.logs(noted)
  const chain = { rows: events, head }
  terminal.out(`head ${head}\n`)
  terminal.out(`checkpoint ${checkpointText({ events: chain, ...logs, changes: opened.changes })}\n`)

  let code: VerifyCode = 0
  const missing = noted
    ? missingSince(noted, { events: { ...chain, found: seen.checkpoint }, ...logs, changes: opened.changes })
    : seen.checkpoint === 'not-found'
      ? [`no event has the hash ${given}. Events were cut off, or the whole trail was exchanged`]
      : []
  for (const words of missing) terminal.err(`MISSING: ${words}.\n`)
  if (missing.length > 0) code = 1
  else if (typeof seen.checkpoint === 'number')
    terminal.out(`checkpoint found at event ${seen.checkpoint}: everything up to it is as it was then\n`)
  for (const { name, faults, remarks } of await opened.checkTables(chain, logs)) {
    terminal.out(`${name}: ${faults.length === 0 ? 'as it should be' : 'DIFFERS'}\n`)
    for (const words of faults) terminal.err(`${name}: ${words}\n`)
    for (const words of remarks) terminal.out(`${name}, worth a look: ${words}\n`)
    if (faults.length > 0) code = 1
  }
  return code
}

interface Found {
  readonly events: ChainEnd & { readonly found: number | 'not-found' | undefined }
  readonly acts: LogSeen
  readonly accesses: LogSeen
  readonly changes: number
}

/** What stood in the trail when the checkpoint was noted, and does not now. */
function missingSince(noted: Checkpoint, { events, acts, accesses, changes }: Found): readonly string[] {
  const log = (name: string, wanted: ChainEnd, rows: number, same: boolean): readonly string[] => {
    if (same) return []
    return rows < wanted.rows
      ? [`${name} end at number ${rows}, ${wanted.rows} were noted: they were cut off at their end`]
      : [`${name} up to number ${wanted.rows} are not those that were noted: they were written anew`]
  }
  return [
    ...log('the events', noted.events, events.rows, events.found === noted.events.rows),
    ...log('the acts on the records', noted.acts, acts.rows, acts.noted === noted.acts.head),
    ...log('the accesses', noted.accesses, accesses.rows, accesses.noted === noted.accesses.head),
    ...(changes < noted.changes
      ? [`the seals count ${changes} changes, ${noted.changes} were noted: an older copy of the other tables was put back`]
      : []),
  ]
}
