import type { Card } from '../cards/card.js'
import { type HomeItem, homeCard } from '../cards/home-card.js'
import { CONSULT_WORDS } from '../cards/words-consult-en.js'
import { type AskedConsult, openTasks } from '../consult/consult.js'
import { isAmong, type Person, type Place } from '../consult/people.js'
import { consultFor } from './consult-here.js'
import type { DeskDeps } from './deps.js'
import { aboutPlan } from './look-up.js'
import type { DeskView } from './store.js'

/** More open consults than a department has; older ones are found by searching. */
const LOOKED_AT = 200
const SHOWN = 20

/** What waits for this person, and their own open consults, in the reach of this place. */
export async function homeFor(
  { by, place }: { readonly by: Person; readonly place: Place },
  view: DeskView,
  deps: DeskDeps,
): Promise<Card> {
  const waiting: HomeItem[] = []
  const own: HomeItem[] = []
  for (const ref of await view.open(deps.reach(place), LOOKED_AT)) {
    const here = await consultFor({ by, place }, ref, view, deps)
    if (!here) continue
    const waits = waitsFor(here.consult, by, deps.today())
    const mine = here.consult.askedBy.id === by.id
    if (waits.length === 0 && !mine) continue
    const plan = await view.plan(here.consult.planHash)
    const about = plan === undefined ? '' : aboutPlan(plan)
    if (waits.length > 0 && waiting.length < SHOWN) waiting.push({ ref, about, stands: waits })
    if (mine && own.length < SHOWN) own.push({ ref, about, stands: standsIn(here.consult) })
  }
  return homeCard({ waiting, own, canOpenForm: true })
}

function standsIn({ status, opinions, tasks }: AskedConsult): readonly string[] {
  const open = tasks.filter(({ done }) => done === undefined).length
  return [
    CONSULT_WORDS.status[status],
    CONSULT_WORDS.home.answers(opinions.length),
    ...(open === 0 ? [] : [`${open} ${CONSULT_WORDS.tasks.toLowerCase()}`]),
  ]
}

/** What a consult waits for from this person; empty: nothing. */
function waitsFor(consult: AskedConsult, by: Person, today: string): readonly string[] {
  const words = CONSULT_WORDS.home
  const { status, asking, opinions, deputyAsked, decisions } = consult
  const tasks = openTasks(consult)
    .filter(({ owner, reached }) => owner !== undefined && isAmong(by, [owner], reached))
    .map(({ task, what }) => `${task} ${what}`)
  if (consult.askedBy.id === by.id) {
    const decide = status === 'asked' && opinions.length > 0 && openTasks(consult).length === 0 ? [words.decideNow] : []
    const past = asking.surgeryDate !== undefined && asking.surgeryDate < today
    return [...tasks, ...decide, ...(status === 'decided' && past && decisions.length > 0 ? [words.outcomeMissing] : [])]
  }
  const answer = opinions.find((given) => given.by.id === by.id)
  const wanted = isAmong(
    by,
    [...(asking.asked ?? []), ...(deputyAsked === undefined ? [] : [deputyAsked.deputy])],
    asking.reached,
  )
  if (status !== 'asked') return tasks
  if (answer === undefined) return wanted ? [...tasks, words.opinionWanted] : tasks
  return answer.revision < consult.revision ? [...tasks, words.lookAgain(consult.revision)] : tasks
}
