import { expect, it } from 'vitest'
import type { StoreBench } from './store-bench.js'

export function conversationContract({ store }: StoreBench): void {
  it('knows where a conversation takes messages, by the newest word', async () => {
    const there = { tenant: 'tenant', id: '19:channel', kind: 'channel', serviceUrl: 'https://one.example/' } as const
    expect(await store().conversations.get('tenant', '19:channel')).toBeUndefined()
    await store().conversations.put(there)
    await store().conversations.put({ ...there, serviceUrl: 'https://two.example/' })
    expect(await store().conversations.get('tenant', '19:channel')).toEqual({ ...there, serviceUrl: 'https://two.example/' })
    expect(await store().conversations.get('another', '19:channel')).toBeUndefined()
  })
}
