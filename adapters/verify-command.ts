import { examineTrail } from '../src/trail/examine.js'
import type { Terminal } from './plan-command.js'
import type { OpenForChecking } from './trail-tables.js'

/** The trail is as it was written; something is not; the command was not understood. */
export type VerifyCode = 0 | 1 | 2

const CHECKPOINT = /^[0-9a-f]{64}$/

/**
 * `soundings verify`: reads the whole trail and says where it is not as it was written.
 * The head it prints is a checkpoint: noted where nobody who can write to the trail can, it proves later that
 * everything up to it is still there.
 */
export async function verifyCommand(
  opened: Pick<OpenForChecking, 'trail' | 'checkTables'>,
  options: { readonly checkpoint?: string },
  terminal: Pick<Terminal, 'out' | 'err'>,
): Promise<VerifyCode> {
  const checkpoint = options.checkpoint?.trim().toLowerCase()
  if (checkpoint !== undefined && !CHECKPOINT.test(checkpoint)) {
    terminal.err('--checkpoint: write the 64 hexadecimal digits that an earlier "soundings verify" printed as its head\n')
    return 2
  }
  const seen = await examineTrail(opened.trail, checkpoint)
  const { events, consults, plans, erasedPlans, texts, erasedTexts, head, fault } = seen
  terminal.out(
    `${events} events, ${consults} consults, ${plans} plans (${erasedPlans} erased), ${texts} texts (${erasedTexts} erased)\n`,
  )
  if (fault) {
    terminal.err(`ALTERED: ${fault.words}\n`)
    terminal.err(`Everything before event ${fault.position} is as it was written. The other tables were not compared.\n`)
    return 1
  }
  terminal.out(`head ${head}\n`)

  let code: VerifyCode = 0
  if (seen.checkpoint === 'not-found') {
    terminal.err(`MISSING: no event has the hash ${checkpoint}. Events were cut off, or the whole trail was exchanged.\n`)
    code = 1
  } else if (seen.checkpoint !== undefined) {
    terminal.out(`checkpoint found at event ${seen.checkpoint}: everything up to it is as it was then\n`)
  }
  for (const { name, faults, remarks } of await opened.checkTables()) {
    terminal.out(`${name}: ${faults.length === 0 ? 'as it should be' : 'DIFFERS'}\n`)
    for (const words of faults) terminal.err(`${name}: ${words}\n`)
    for (const words of remarks) terminal.out(`${name}, worth a look: ${words}\n`)
    if (faults.length > 0) code = 1
  }
  return code
}
