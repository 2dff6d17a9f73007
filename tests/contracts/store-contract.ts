import { afterEach, beforeEach, describe } from 'vitest'
import type { KeptStore } from '../../adapters/store/store.js'
import { conversationContract } from './conversation-contract.js'
import { draftContract } from './draft-contract.js'
import { factsContract } from './facts-contract.js'
import { inboxContract } from './inbox-contract.js'
import { lifeContract } from './life-contract.js'
import { outboxContract } from './outbox-contract.js'
import { recordContract } from './record-contract.js'
import { searchContract } from './search-contract.js'
import { storeBench } from './store-bench.js'
import { trailContract } from './trail-contract.js'

/** What every store must do, whatever database lies under it. */
export function storeContract(name: string, create: () => Promise<KeptStore>): void {
  describe(`a store on ${name}`, () => {
    let store: KeptStore
    beforeEach(async () => {
      store = await create()
    })
    afterEach(async () => {
      await store.close()
    })
    const bench = storeBench(() => store)
    inboxContract(bench)
    trailContract(bench)
    searchContract(bench)
    factsContract(bench)
    draftContract(bench)
    outboxContract(bench)
    conversationContract(bench)
    lifeContract(bench)
    recordContract(() => store)
  })
}
