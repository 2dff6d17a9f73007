import { describe, expect, it } from 'vitest'
import { channelQueue } from '../../../adapters/slack/channel-queue.js'

function queueOnAHandTurnedClock() {
  let now = 0
  const queue = channelQueue({
    gapMs: 1_100,
    ticks: () => now,
    wait: async (ms) => {
      now += ms
    },
  })
  return { queue, sentAt: () => now }
}

describe('messages in one channel', () => {
  it('go in the order asked, at least 1.1 s apart', async () => {
    const { queue, sentAt } = queueOnAHandTurnedClock()
    const sent: [string, number][] = []
    await Promise.all(['a', 'b', 'c'].map((name) => queue.run('C1', async () => sent.push([name, sentAt()]))))
    expect(sent).toEqual([
      ['a', 0],
      ['b', 1_100],
      ['c', 2_200],
    ])
  })

  it('rest as long as Slack asks', async () => {
    const { queue, sentAt } = queueOnAHandTurnedClock()
    await queue.run(
      'C1',
      async () => 'limited',
      () => 30_000,
    )
    expect(await queue.run('C1', async () => sentAt())).toBe(30_000)
  })

  it('do not wait for another channel', async () => {
    const { queue, sentAt } = queueOnAHandTurnedClock()
    await queue.run(
      'C1',
      async () => 'limited',
      () => 30_000,
    )
    expect(await queue.run('C2', async () => sentAt())).toBe(0)
  })

  it('go on after one that threw', async () => {
    const { queue } = queueOnAHandTurnedClock()
    const failed = queue.run('C1', () => Promise.reject(new Error('no')))
    const next = queue.run('C1', async () => 'sent')
    await expect(failed).rejects.toThrow('no')
    expect(await next).toBe('sent')
    await queue.idle()
  })
})
