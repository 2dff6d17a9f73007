import type { Card } from '../cards/card.js'
import type { AskedConsult } from '../consult/consult.js'
import type { Plan } from '../plan/plan.js'
import type { StandingConsult } from './consult-here.js'
import type { DeskDeps } from './deps.js'
import type { Inbound } from './ports.js'
import { only, refuse } from './replies.js'
import type { DeskView, Effects } from './store.js'

/** What is taken out of the chat by a surgeon: to be copied, printed or edited. */
export interface Sheets {
  readonly record: (consult: AskedConsult, plan: Plan) => Card
  readonly theatre: (consult: AskedConsult, plan: Plan) => Card
  readonly consent: (plan: Plan) => Card
}

/** Shows one of them to the person who asked, and to nobody else. */
export async function showSheet(
  inbound: Inbound,
  { consult }: StandingConsult,
  which: keyof Sheets,
  view: DeskView,
  { sheets }: DeskDeps,
): Promise<Effects> {
  const plan = await view.plan(consult.planHash)
  if (!plan) throw new Error(`The plan of ${consult.ref} is missing from the trail`)
  if (sheets === undefined) return refuse(inbound, 'Sheets are not set up here')
  return only(inbound, which === 'consent' ? sheets.consent(plan) : sheets[which](consult, plan))
}
