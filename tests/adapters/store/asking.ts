import { NO_EFFECTS, type Store } from '../../../src/desk/store.js'
import { at } from '../../consult/invented-people.js'
import { askedAs, said } from '../../contracts/store-contract-cases.js'

/** Asks a consult as a delivery brings it about. */
export async function ask(store: Store, ref: string, question = 'Chop?') {
  const { event, plan } = askedAs(ref, question)
  await store.inbox.put({ key: ref, inbound: said('x') }, at(0))
  const waiting = await store.inbox.next(at(1))
  await store.inbox.commit(waiting?.seq ?? 0, { ...NO_EFFECTS, events: [event], plans: [plan] }, at(1))
}
