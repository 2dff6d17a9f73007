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

  it('knows who reads a room, by the newest word, and nothing of a room that was never asked about', async () => {
    const room = { platform: 'slack', workspace: 'T1', channel: 'C1' } as const
    const { audiences, view } = store()
    expect([await audiences.get(room), await view.audienceOf(room)]).toEqual([undefined, undefined])
    await audiences.put(room, { membersOf: 'C1' }, '2026-03-02T18:00:00.000Z')
    expect(await view.audienceOf(room)).toEqual({ membersOf: 'C1' })
    await audiences.put(room, 'workspace', '2026-03-02T19:00:00.000Z')
    expect(await audiences.get(room)).toEqual({ audience: 'workspace', at: '2026-03-02T19:00:00.000Z' })
    expect(await view.audienceOf(room)).toBe('workspace')
    expect(await audiences.get({ ...room, workspace: 'T2' })).toBeUndefined()
  })
}
