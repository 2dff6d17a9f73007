import type { Card } from '../cards/card.js'
import { consentWording } from '../cards/documents/consent-wording.js'
import { recordSummary } from '../cards/documents/record-summary.js'
import { theatreSheet } from '../cards/documents/theatre-sheet.js'
import { erasedCard } from '../cards/short-cards.js'
import type { AskedConsult } from '../consult/consult.js'
import type { Plan } from '../plan/plan.js'
import { accessBy } from './access-log.js'
import { asShown } from './as-shown.js'
import type { StandingConsult } from './consult-here.js'
import type { DeskDeps } from './deps.js'
import type { Inbound } from './ports.js'
import { only } from './replies.js'
import type { DeskView, Effects } from './store.js'

/** What a surgeon takes out of the chat: to be copied into the record, printed for theatre, or edited for the patient. */
const SHEETS = {
  record: recordSummary,
  theatre: theatreSheet,
  consent: (_consult: AskedConsult, plan: Plan): Card => consentWording(plan),
} as const

export type Sheet = keyof typeof SHEETS

/** Shows one of them to the person who asked for it, and to nobody else. */
export async function showSheet(
  inbound: Inbound,
  { consult }: StandingConsult,
  sheet: Sheet,
  view: DeskView,
  { clock }: Pick<DeskDeps, 'clock'>,
): Promise<Effects> {
  const viewed = accessBy(inbound.by, clock.now(), { what: 'viewed', ref: consult.ref, words: sheet })
  return { ...only(inbound, await sheetOf(consult, sheet, view)), accesses: [viewed] }
}

/** One of the sheets of a consult, for a page or a file as well. */
export async function sheetOf(consult: AskedConsult, sheet: Sheet, view: Pick<DeskView, 'plan'>): Promise<Card> {
  const plan = await view.plan(consult.planHash)
  if (!plan) return erasedCard(consult.ref)
  return SHEETS[sheet](asShown(consult), plan)
}
