import { erasedCard } from '../cards/short-cards.js'
import { sourcesCard, workingCard } from '../cards/working-card.js'
import { accessBy } from './access-log.js'
import type { StandingConsult } from './consult-here.js'
import type { DeskDeps } from './deps.js'
import type { Inbound } from './ports.js'
import { only } from './replies.js'
import type { DeskView, Effects } from './store.js'

/** Shows how numbers of a consult came about, or the works it cites, to the person who asked and to nobody else. */
export async function showWorking(
  inbound: Inbound,
  { consult: { ref, planHash } }: StandingConsult,
  wanted: { readonly does: 'working'; readonly of: string } | { readonly does: 'sources' },
  view: DeskView,
  { clock }: Pick<DeskDeps, 'clock'>,
): Promise<Effects> {
  const plan = await view.plan(planHash)
  const viewed = accessBy(inbound.by, clock.now(), { what: 'viewed', ref, words: wanted.does })
  const card =
    plan === undefined ? erasedCard(ref) : wanted.does === 'sources' ? sourcesCard(ref, plan) : workingCard(ref, plan, wanted.of)
  return { ...only(inbound, card), accesses: [viewed] }
}
