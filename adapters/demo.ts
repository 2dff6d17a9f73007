import type { Person } from '../src/consult/people.js'
import type { Delivery, Inbound } from '../src/desk/ports.js'
import { receive } from '../src/desk/receive.js'
import type { Store } from '../src/desk/store.js'
import { WEB_PLACE } from './web/page-needs.js'
import type { WaitingAnswers } from './web/waiting.js'

/** Everything here is invented: the unit, the people and the eye. */
const PEOPLE = {
  asker: { id: 'web:demo-asker', name: 'Registrar, Lantern Quay (invented)', grade: 'registrar' },
  cornea: { id: 'web:demo-cornea', name: 'Consultant A, Lantern Quay (invented)', grade: 'consultant', field: 'cornea' },
  retina: { id: 'web:demo-retina', name: 'Consultant B, Lantern Quay (invented)', grade: 'consultant', field: 'retina' },
} as const satisfies Record<string, Person>

const CASE_MESSAGE = `LE 58M, AL 29.60 optical SD 0.02, K1 42.10@95 K2 43.20@5, ACD 3.45, LT 4.90, WTW 12.1, CCT 548
brown NO 5.2; ECD 2180; no fundal view, B-scan flat, no staphyloma; no PXF; no alpha blocker
fellow eye pseudophakic -1.50; target -1.75; A 118.9; registrar; sub-Tenon
? Chop, or plan a manual extraction from the start?`

const SAID: readonly { readonly by: Person; readonly text: (ref: string) => string }[] = [
  { by: PEOPLE.asker, text: () => CASE_MESSAGE },
  { by: PEOPLE.asker, text: () => 'post' },
  {
    by: PEOPLE.cornea,
    text: (ref) => `${ref} agree but: chop with a dispersive shield and a low threshold to convert; I would scrub beside you`,
  },
  { by: PEOPLE.retina, text: (ref) => `${ref} need: a second axial length by immersion before the lens is ordered` },
]

/** How long one thing said may take until it is answered, milliseconds; a slow machine needs one. */
const PATIENCE_MS = 15_000

export interface DemoParts {
  readonly trail: Pick<Store['trail'], 'newest'>
  /** Keeps a delivery, from where the workers take it. */
  readonly accept: (delivery: Delivery) => Promise<'new' | 'duplicate'>
  readonly answers: Pick<WaitingAnswers, 'get'>
  /** ISO date. */
  readonly today: string
}

/**
 * Puts one invented consult with answers into an empty trail, by the same way that a real one takes: each thing is said on
 * the page, and the next one after its answer. Somebody may put a real case meanwhile, so the answers name the consult that
 * the invented registrar asked, never merely the newest.
 */
export async function seedDemo({ trail, accept, answers, today }: DemoParts): Promise<void> {
  if ((await trail.newest('everything', 1)).length > 0) return
  const own = async () => (await trail.newest('everything', 100)).find(({ askedBy }) => askedBy.id === PEOPLE.asker.id)?.ref
  for (const [index, { by, text }] of SAID.entries()) {
    const requestId = `demo:${index}`
    const said: Inbound = {
      kind: 'text',
      text: text((await own()) ?? ''),
      by,
      place: WEB_PLACE,
      addressed: true,
      hasPicture: false,
      reply: { requestId },
    }
    // said before a start that was cut short, or by another process: it is answered there
    if ((await accept(receive(said, requestId, today))) === 'duplicate') continue
    if ((await answers.get(requestId, PATIENCE_MS)) === undefined) throw new Error(`nothing answered ${requestId}`)
  }
}
