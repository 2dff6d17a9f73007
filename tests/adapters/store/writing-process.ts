import { openStore } from '../../../adapters/store/open.js'
import { NO_EFFECTS } from '../../../src/desk/store.js'
import { at } from '../../consult/invented-people.js'
import { askedAs, said } from '../../contracts/store-contract-cases.js'

/** Writes to the trail at the address given until it is killed, and says on its output what was accepted and what was done. */
const [url = '', , from = '1'] = process.argv.slice(2)
// A later process comes later: what an earlier one had in hand is free again by then.
const minute = Math.floor(Number(from) / 100) * 5
const store = await openStore(url, at(minute))
process.stdout.write('open\n')
for (let number = Number(from); process.argv.includes('--write'); number += 1) {
  await store.inbox.put({ key: `delivery ${number}`, inbound: said(`case ${number}`) }, at(minute))
  process.stdout.write(`accepted ${number}\n`)
  const waiting = await store.inbox.next(at(minute + 1))
  const { event, plan } = askedAs(`MARSH-${number}`, `Chop or manual in case ${number}?`, {
    axialLengthMm: 25 + (number % 50) / 10,
  })
  const outcome = await store.inbox.commit(waiting?.seq ?? 0, { ...NO_EFFECTS, events: [event], plans: [plan] }, at(minute + 1))
  if (outcome === 'committed') process.stdout.write(`done ${number}\n`)
}
setInterval(() => {}, 1000)
