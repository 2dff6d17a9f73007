import { queryOf } from '../src/trail/find.js'
import type { TrailReading } from '../src/trail/trail-store.js'
import type { ExitCode, Terminal } from './plan-command.js'

const AT_MOST = 50

/** `soundings find`: consults in which all the words stand, best match first, one a line. */
export async function findCommand(words: string, trail: TrailReading, terminal: Terminal): Promise<ExitCode> {
  const query = queryOf(words)
  if (!query) {
    terminal.err('Write what to look for, such as: soundings find staphyloma sub-tenon\n')
    return 2
  }
  const found = await trail.find(query, 'everything', AT_MOST)
  if (found.length === 0) terminal.err(`Nothing found for "${words}". Fewer words find more.\n`)
  for (const { ref, askedAt, askedBy, opinions } of found) {
    terminal.out(
      `${ref}  ${askedAt.slice(0, 10)}  asked by ${askedBy.name}  ${opinions} ${opinions === 1 ? 'answer' : 'answers'}\n`,
    )
  }
  if (found.length === AT_MOST) terminal.err(`The first ${AT_MOST} are shown. More words find fewer.\n`)
  return 0
}
