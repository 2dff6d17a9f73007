import type { Card } from '../../src/cards/card.js'

/**
 * Answers on their way to a browser. The page sends a delivery, is redirected, and reads the answer here.
 * An answer is a preview or a notice: losing one at a restart loses nothing that was accepted.
 */
export interface WaitingAnswers {
  put(requestId: string, card: Card): void
  /** The answer, waited for at most `patienceMs`; undefined when none came in time. */
  get(requestId: string, patienceMs: number): Promise<Card | undefined>
}

export function waitingAnswers(keep = 500): WaitingAnswers {
  const answers = new Map<string, Card>()
  const waiting = new Map<string, Set<(card: Card) => void>>()

  return {
    put(requestId, card) {
      answers.set(requestId, card)
      for (const oldest of answers.keys()) {
        if (answers.size <= keep) break
        answers.delete(oldest)
      }
      for (const resolve of waiting.get(requestId) ?? []) resolve(card)
      waiting.delete(requestId)
    },

    async get(requestId, patienceMs) {
      const here = answers.get(requestId)
      if (here) return here
      return await new Promise((resolve) => {
        const listeners = waiting.get(requestId) ?? new Set()
        const settle = (card: Card | undefined) => {
          clearTimeout(timer)
          listeners.delete(settle)
          if (listeners.size === 0) waiting.delete(requestId)
          resolve(card)
        }
        const timer = setTimeout(() => settle(undefined), patienceMs)
        listeners.add(settle)
        waiting.set(requestId, listeners)
      })
    },
  }
}
