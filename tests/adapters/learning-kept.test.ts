import { describe, expect, it } from 'vitest'
import { learningKept } from '../../adapters/learning-kept.js'
import type { CountedLessons } from '../../adapters/page-learning.js'
import { BASE_RATES, ORDINARY_BASE_RATE } from '../../src/learning/rupture-chart.js'
import { inventedLessons } from '../learning/a-taught-trail.js'

const lessons = inventedLessons(12)
const MINUTE_MS = 60_000

/** Figures over a clock and a trail that the test moves by hand. */
function kept(takesMs = 0) {
  const state = { now: 0, readings: 0, consults: 3, fails: false, blocked: undefined as Promise<void> | undefined }
  const learning = learningKept({
    read: async (): Promise<CountedLessons> => {
      state.readings += 1
      await state.blocked
      if (state.fails) throw new Error('the disk is away')
      state.now += takesMs
      return { consults: state.consults, lessons, unread: [], erased: 0, putOn: {}, drawnFrom: ['Counted: these.'] }
    },
    today: () => '2026-11-24',
    nowMs: () => state.now,
    wait: async () => {},
  })
  const consults = async () => {
    const learnt = await learning(ORDINARY_BASE_RATE)
    return learnt === 'being-read' ? learnt : learnt.consults
  }
  return { state, learning, consults }
}

describe('the figures that a page shows', () => {
  it('are read anew at once where the trail is short, so that a new outcome is found in them', async () => {
    const { state, consults } = kept()
    await consults()
    state.consults = 4
    state.now += 1
    expect(await consults()).toBe(4)
  })

  it('of a long trail are kept for a part of an hour, never longer than five minutes', async () => {
    const { state, consults } = kept(MINUTE_MS)
    state.blocked = Promise.resolve()
    while ((await consults()) === 'being-read') await state.blocked
    expect(state.readings).toBe(1)
    state.now += 5 * MINUTE_MS - 1
    await consults()
    expect(state.readings).toBe(1)
    state.now += 1
    await consults()
    expect(state.readings).toBe(2)
  })

  it('are read once for all who ask at the same time, and worked out once a rate', async () => {
    const { state, learning } = kept(100)
    const [one, other] = await Promise.all([learning(ORDINARY_BASE_RATE), learning(ORDINARY_BASE_RATE)])
    expect(state.readings).toBe(1)
    expect(await learning(ORDINARY_BASE_RATE)).toBe(await learning(ORDINARY_BASE_RATE))
    expect(one === 'being-read' || one === other).toBe(true)
    const published = await learning(BASE_RATES[0])
    expect(published !== 'being-read' && published.ruptures.baseRate.id).toBe('2001-06')
    expect(state.readings).toBe(1)
  })

  it('are not waited for longer than a person does: the first time it is said, later the former ones are shown', async () => {
    const { state, consults } = kept()
    let go = () => {}
    state.blocked = new Promise((resolve) => {
      go = resolve
    })
    expect(await consults()).toBe('being-read')
    expect(await consults()).toBe('being-read')
    expect(state.readings).toBe(1)
    go()
    await state.blocked
    await new Promise((resolve) => setImmediate(resolve))
    state.blocked = new Promise(() => {})
    state.now += 1
    expect(await consults()).toBe(3)
  })

  it('are read again by the next who asks where the reading failed', async () => {
    const { state, consults } = kept()
    state.fails = true
    await consults().catch(() => {})
    state.fails = false
    await new Promise((resolve) => setImmediate(resolve))
    await consults()
    await new Promise((resolve) => setImmediate(resolve))
    expect(await consults()).toBe(3)
  })
})
