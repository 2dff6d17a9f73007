/**
 * Something that a chat was asked for and did not give, such as who is in a channel: what was asked for, by the name of the
 * chat's own call, and the fault. Never whom or which channel it was about.
 */
export type LookUpFailed = (asked: string, fault: unknown) => void

const SAID_AGAIN_MS = 60 * 60_000

/**
 * Says each cause once, and again after an hour while it lasts: a missing permission fails with every message, and one line
 * is enough to mend it by.
 * @param say is given the name of the call and a cause of a few words
 * @param causeOf the chat's own word for what went wrong; undefined where the fault is none of its own
 */
export function oncePerCause(
  say: (asked: string, cause: string) => void,
  now: () => number,
  causeOf: (fault: unknown) => string | undefined = () => undefined,
): LookUpFailed {
  const said = new Map<string, number>()
  return (asked, fault) => {
    const cause = causeOf(fault) ?? ownWord(fault)
    const key = `${asked} ${cause}`
    const before = said.get(key)
    if (before !== undefined && now() < before + SAID_AGAIN_MS) return
    said.set(key, now())
    say(asked, cause)
  }
}

/** A code where the fault has one, else its kind. Its message may name whom it is about. */
function ownWord(fault: unknown): string {
  if (!(fault instanceof Error)) return 'no reason was given'
  const { code, statusCode } = fault as { readonly code?: unknown; readonly statusCode?: unknown }
  if (typeof statusCode === 'number') return `HTTP ${statusCode}`
  return typeof code === 'string' ? code : fault.name
}
