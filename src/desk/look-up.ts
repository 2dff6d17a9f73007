import { eyeInWords } from '../cards/case-words.js'
import { hardFacts } from '../cards/hard-facts.js'
import { foundCard } from '../cards/short-cards.js'
import type { Plan } from '../plan/plan.js'
import { lensPower } from '../terms/power.js'
import { queryOf } from '../trail/find.js'
import type { DeskDeps } from './deps.js'
import { guidance } from './guidance.js'
import type { Inbound } from './ports.js'
import { only } from './replies.js'
import type { DeskView, Effects } from './store.js'

const MOST_FOUND = 10

/** Past consults by words. */
export async function findConsults(inbound: Inbound, words: string, view: DeskView, deps: DeskDeps): Promise<Effects> {
  const query = queryOf(words)
  if (!query) return only(inbound, guidance('Say what to find: a fact, a step, a word of the question, a person or a reference.'))
  const found = await view.find(query, deps.reach(inbound.place), MOST_FOUND)
  const results = await Promise.all(
    found.map(async ({ ref, askedAt, askedBy, opinions, planHash }) => {
      const plan = await view.plan(planHash)
      return { ref, askedAt, askedBy, opinions, ...(plan ? { about: aboutPlan(plan) } : {}) }
    }),
  )
  return only(inbound, foundCard(words, results))
}

/** The eye, the lens and what was hard, in a line. */
export const aboutPlan = (plan: Plan): string =>
  [eyeInWords(plan.case), ...(plan.lens.recommended ? [lensPower(plan.lens.recommended.powerD)] : []), ...hardFacts(plan)].join(
    ' · ',
  )
