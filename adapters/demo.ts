import type { Person } from '../src/consult/people.js'
import type { Inbound } from '../src/desk/ports.js'
import { receive } from '../src/desk/receive.js'
import type { Store } from '../src/desk/store.js'
import { WEB_PLACE } from './web/page-needs.js'

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

/**
 * Puts one invented consult with answers into an empty trail, by the same way that a real one takes.
 * @param handleAll handles everything that waits in the inbox
 */
export async function seedDemo(store: Store, handleAll: () => Promise<void>, at: string): Promise<void> {
  const newest = async () => (await store.trail.newest('everything', 1))[0]?.ref
  if ((await newest()) !== undefined) return
  for (const [index, { by, text }] of SAID.entries()) {
    const said: Inbound = {
      kind: 'text',
      text: text((await newest()) ?? ''),
      by,
      place: WEB_PLACE,
      addressed: true,
      hasPicture: false,
      reply: {},
    }
    await store.inbox.put(receive(said, `demo:${index}`, at.slice(0, 10)), at)
    await handleAll()
  }
}
