/** A loop that works while there is work, then rests until it is woken or the next work falls due. */
export interface Worker {
  /** There may be work: look now rather than at the end of the rest. */
  wake(): void
  /** Ends after the piece of work that is under way. */
  stop(): Promise<void>
}

export interface Work {
  /** Does one piece of work; false when there is none that is due. */
  readonly step: () => Promise<boolean>
  /** Milliseconds until the next piece falls due, if one waits. */
  readonly untilDue: () => Promise<number | undefined>
  /** The longest rest, ms: what falls due without anybody waking the loop waits at most this long. */
  readonly intervalMs: number
  /** A step failed in a way that it could not record itself, such as a full disk. The loop rests and goes on. */
  readonly failed: (error: unknown) => void
}

export function startWork({ step, untilDue, intervalMs, failed }: Work): Worker {
  let stopping = false
  let woken = false
  let endRest = () => {}

  const rest = (ms: number): Promise<void> =>
    new Promise((resolve) => {
      const timer = setTimeout(resolve, ms)
      endRest = () => {
        clearTimeout(timer)
        resolve()
      }
      if (woken || stopping) endRest()
    })

  const ended = (async () => {
    while (!stopping) {
      woken = false
      let restMs = intervalMs
      try {
        while (!stopping && (await step())) {}
        if (!stopping && !woken) restMs = Math.min(intervalMs, Math.max(1, (await untilDue()) ?? intervalMs))
      } catch (error) {
        failed(error)
      }
      if (!stopping) await rest(restMs)
    }
  })()

  return {
    wake() {
      woken = true
      endRest()
    },
    async stop() {
      stopping = true
      endRest()
      await ended
    },
  }
}
