export interface Timing {
  /** Least time between two messages in one channel, ms. Slack takes about one a second. */
  readonly gapMs: number
  /** A steady clock, ms. */
  readonly ticks: () => number
  readonly wait: (ms: number) => Promise<void>
}

export interface ChannelQueue {
  /** Runs after everything asked for this channel before, spaced; `hold` says how long the channel must rest after it. */
  run<T>(channel: string, send: () => Promise<T>, hold?: (result: T) => number): Promise<T>
  /** How long this channel must still rest, ms; 0 if it need not. */
  restOf(channel: string): number
  /** Resolves when nothing is under way. */
  idle(): Promise<void>
}

/** One message at a time in each channel, in the order asked, with a pause between; channels do not wait for each other. */
export function channelQueue({ gapMs, ticks, wait }: Timing): ChannelQueue {
  const lanes = new Map<string, { tail: Promise<unknown>; freeAt: number }>()

  return {
    run(channel, send, hold = () => 0) {
      const lane = lanes.get(channel) ?? { tail: Promise.resolve(), freeAt: 0 }
      lanes.set(channel, lane)
      const turn = lane.tail.then(async () => {
        const pause = lane.freeAt - ticks()
        if (pause > 0) await wait(pause)
        lane.freeAt = ticks() + gapMs
        const result = await send()
        lane.freeAt = Math.max(lane.freeAt, ticks() + hold(result))
        return result
      })
      lane.tail = turn.catch(() => undefined)
      return turn
    },
    restOf: (channel) => Math.max(0, (lanes.get(channel)?.freeAt ?? 0) - ticks()),
    async idle() {
      await Promise.all([...lanes.values()].map((lane) => lane.tail))
    },
  }
}
