import type { BaseLogger } from 'pino'
import type { MissingFacts } from '../../src/desk/store.js'

interface FactsWorkParts {
  readonly log: Pick<BaseLogger, 'info'>
  /** Asked between the pieces. */
  readonly stopped: () => boolean
  readonly rest: (milliseconds: number) => Promise<unknown>
}

/** Few enough that whoever puts a case meanwhile does not notice. */
const AT_ONCE = 20
const LONGEST_REST_MS = 1_000
/** The log is told after so many pieces. */
const TELL_EVERY = 50

/** Makes the facts that an earlier version left out, beside the server's work: after each piece it rests as long as that took. */
export async function makeMissingFacts(missing: MissingFacts, { log, stopped, rest }: FactsWorkParts): Promise<void> {
  const of = await missing.count()
  if (of === 0) return
  log.info({ of }, 'past consults lack the facts that they are searched and compared by; they are made beside the work')
  let done = 0
  for (let piece = 1; !stopped(); piece += 1) {
    const began = performance.now()
    const made = await missing.make(AT_ONCE)
    done += made
    if (made < AT_ONCE) {
      log.info({ done }, 'all past consults have their facts')
      return
    }
    if (piece % TELL_EVERY === 0) log.info({ done, of }, 'facts of past consults')
    await rest(Math.min(LONGEST_REST_MS, performance.now() - began))
  }
}
