import pino, { type Logger } from 'pino'
import type { Settings } from './settings.js'

/** What is written of a fault. */
interface WrittenFault {
  readonly type: string
  readonly code?: string
  /** Only of a fault of ours, whose words are known to hold nothing that anybody typed. */
  readonly message?: string
  readonly stack?: readonly string[]
  readonly cause?: WrittenFault
}

/** A code of ours, such as `STORE.SEAL-KEY`; those of the system, of databases and of libraries have no dot. */
const OUR_CODE = /^[A-Z_]+\.[A-Z_-]+$/
/** A line of a stack, which ends with a place in a file: an error's words may run over lines, and are typed by anybody. */
const FRAME = /^ {4}at \S.{0,300}:\d{1,7}:\d{1,7}\)?$/
const DEEPEST = 3

/**
 * A fault by its kind, its code and where it arose. Its own words are left out, and whatever else it carries: a parser
 * quotes what it choked on, and a database whole rows that it would not take.
 */
function writtenFault(fault: unknown, depth = 1): WrittenFault {
  if (!(fault instanceof Error)) return { type: typeof fault }
  const code: unknown = Reflect.get(fault, 'code')
  const { message, name, stack = '', cause } = fault
  const ours = typeof code === 'string' && OUR_CODE.test(code) && message.startsWith(`${code}: `)
  const frames = stack
    .split('\n')
    .filter((line) => FRAME.test(line))
    .map((line) => line.trim())
  return {
    type: name,
    ...(typeof code === 'string' && /^[\w.-]{1,60}$/.test(code) ? { code } : {}),
    ...(ours ? { message } : {}),
    ...(frames.length === 0 ? {} : { stack: frames }),
    ...(cause === undefined || depth >= DEEPEST ? {} : { cause: writtenFault(cause, depth + 1) }),
  }
}

/** The program's log: a line of JSON for each thing, on the standard output, and never a text that somebody typed. */
export function logAt(level: Settings['LOG_LEVEL'], to?: { write(line: string): void }): Logger {
  const options = { level, base: null, serializers: { err: (fault: unknown) => writtenFault(fault) } }
  return to === undefined ? pino(options) : pino(options, to)
}
