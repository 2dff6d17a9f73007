import { examineTrail } from '../src/trail/examine.js'
import type { ExitCode, Terminal } from './plan-command.js'
import type { Reason } from './retention-command.js'
import { openToSealAnew } from './store/open.js'
import { noteSealing } from './store/record-keeping.js'
import { SECRET_NAME } from './store/seal-keeping.js'
import { type OpenForChecking, openForChecking } from './trail-tables.js'

export interface SealOptions extends Reason {
  /** What the seals are to be made with from now on; absent: without a secret. */
  readonly secret: string | undefined
  /** What they may have been made with until now. */
  readonly before: string | undefined
  /** Seals what stands there, whatever it is. */
  readonly unchecked: boolean
}

/**
 * `soundings seal`: seals every row anew, such as under a key that was set or changed. The trail is examined first under the seals
 * that it has, since afterwards nothing tells what was altered before; that it was done stands in the acts on the records.
 */
export async function sealCommand(url: string, options: SealOptions, terminal: Pick<Terminal, 'out' | 'err'>): Promise<ExitCode> {
  const { because, by, at, secret, before, unchecked } = options
  if (because === undefined || because.trim() === '') {
    terminal.err('Say why, such as: --because "a key was set"\n')
    return 2
  }
  const faults = unchecked ? [] : await faultsUnderAny(url, [secret, before, undefined])
  if (faults.length > 0) {
    for (const words of faults) terminal.err(`${words}\n`)
    terminal.err('Nothing was sealed. With --unchecked what stands there is sealed as it is, and the record says so.\n')
    return 2
  }
  const database = await openToSealAnew(url, secret)
  try {
    const kind = secret === undefined ? 'without a key' : `with the key of ${SECRET_NAME}`
    const subject = `${kind}, ${unchecked ? 'not examined before' : 'examined before'}`
    await noteSealing(database, subject, { by, at, because: because.trim() })
    terminal.out(`Every row is sealed anew, ${subject}. Run "soundings verify" and note its checkpoint\n`)
    return 0
  } finally {
    await database.close()
  }
}

/** What is wrong with the trail under that of these secrets which its seals were made with. */
async function faultsUnderAny(url: string, secrets: readonly (string | undefined)[]): Promise<readonly string[]> {
  let faults: readonly string[] = []
  for (const secret of new Set(secrets)) {
    const opened = await openForChecking(url, secret)
    try {
      faults = await faultsOf(opened)
    } finally {
      await opened.close()
    }
    if (faults.length === 0) return []
    // The seals could be read with this one, so no other fits.
    if (opened.changes > 0) return faults
  }
  return faults
}

async function faultsOf({ trail, logs, checkTables }: OpenForChecking): Promise<readonly string[]> {
  const { fault, events, head } = await examineTrail(trail)
  if (fault) return [fault.words]
  const checks = await checkTables({ rows: events, head }, await logs())
  return checks.flatMap(({ name, faults }) => faults.map((words) => `${name}: ${words}`))
}
