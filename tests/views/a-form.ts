import type { Form } from '../../src/cards/form.js'
import { askForm, changeForm, decideForm, opinionForm, outcomeForm, taskForm } from '../../src/cards/forms.js'
import { type AskedConsult, type Consult, evolve, NOT_ASKED } from '../../src/consult/consult.js'
import { decide, isRefusal } from '../../src/consult/decide.js'
import { A_PLAN } from '../cards/a-plan.js'
import { ASKER, SENIOR } from './a-card.js'

const AT = '2026-11-24T18:00:00Z'

/** A consult that a consultant has answered, made by the commands themselves. */
function answered(): AskedConsult {
  const place = { platform: 'web', workspace: 'local', channel: 'page' } as const
  const asked = { type: 'ask', by: ASKER, at: AT, ref: 'MARSH-7', place, planHash: 'a'.repeat(64), words: 'brown' } as const
  const answer = {
    type: 'give-opinion',
    by: SENIOR,
    at: AT,
    revision: 1,
    opinion: { kind: 'agree-with-changes', steps: ['nucleus'], sentence: 'Chop, slowly.', wouldChangeMind: 'a loose lens' },
  } as const
  const question = 'Chop, or plan a manual extraction from the start?'
  let consult: Consult = NOT_ASKED
  for (const command of [{ ...asked, question }, answer]) {
    const events = decide(command, consult)
    if (isRefusal(events)) throw new Error(JSON.stringify(events))
    consult = events.reduce<Consult>(evolve, consult)
  }
  if (consult.status === 'not-asked') throw new Error('nothing was asked')
  return consult
}

export const ANSWERED = answered()
const about = { ref: 'MARSH-7', revision: 1 }
const TEXT = 'LE 58M, AL 29.60 optical\nbrown NO 5.2\n? chop or manual'

const critical = Array.from({ length: 20 }, (_, index) => ({
  id: `department/caution-number-${index}`,
  text: `Caution number ${index}, in as many words as a caution has so that it does not fit into a label of a form.`,
}))

/** Every form that there is, filled as a consult in use fills it. */
export const FORMS: readonly Form[] = [
  askForm(
    { draftId: 'd-1' },
    { text: TEXT, channel: 'C0001', asking: { asked: ['Odile Finch', 'Retina team'], urgency: 'today' } },
  ),
  opinionForm(about, ANSWERED, SENIOR.id),
  changeForm(about, TEXT),
  decideForm(about, ANSWERED, A_PLAN, critical),
  outcomeForm(about, ANSWERED, '2026-11-24'),
  taskForm(about, A_PLAN, []),
]
