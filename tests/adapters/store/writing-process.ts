import { openStore } from '../../../adapters/store/open.js'
import { NO_EFFECTS } from '../../../src/desk/store.js'
import { at } from '../../consult/invented-people.js'
import { askedAs, said } from '../../contracts/store-contract-cases.js'

/** Writes to the trail at the address given until it is killed, and says on its output what was accepted and what was done. */
const [url = ''] = process.argv.slice(2)
const store = await openStore(url, at(0))
process.stdout.write('open\n')
for (let number = 1; process.argv.includes('--write'); number += 1) {
  await store.inbox.put({ key: `delivery ${number}`, inbound: said(`case ${number}`) }, at(0))
  process.stdout.write(`accepted ${number}\n`)
  const waiting = await store.inbox.next(at(1))
  const { event, plan } = askedAs(`MARSH-${number}`, `Chop or manual in case ${number}?`, {
    axialLengthMm: 25 + (number % 50) / 10,
  })
  await store.inbox.commit(waiting?.seq ?? 0, { ...NO_EFFECTS, events: [event], plans: [plan] }, at(1))
  process.stdout.write(`done ${number}\n`)
}
setInterval(() => {}, 1000)
