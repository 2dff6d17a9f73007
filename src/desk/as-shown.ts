import { CONSULT_WORDS } from '../cards/words-consult-en.js'
import { type AskedConsult, opinionsHidden } from '../consult/consult.js'

/**
 * The consult as everybody may read it. While opinions are kept back, so is what somebody needs first: it became a task,
 * whose words are those of the opinion.
 */
export function asShown(consult: AskedConsult): AskedConsult {
  if (!opinionsHidden(consult)) return consult
  const tasks = consult.tasks.map((task) => (task.from === 'opinion' ? { ...task, what: CONSULT_WORDS.task.hidden } : task))
  return { ...consult, tasks }
}
