import type { Sender } from '../../src/desk/ports.js'
import type { WaitingAnswers } from './waiting.js'

/**
 * The page is drawn from the trail whenever somebody looks, so a card is "posted" as soon as it is in the trail.
 * Answers go to the browser that waits for them.
 */
export const webSender = (answers: WaitingAnswers): Sender => ({
  partsOf: () => 1,
  post: async ({ mark }) => ({ outcome: 'sent', message: mark }),
  update: async (_posting, message) => ({ outcome: 'sent', message }),
  lookFor: async ({ mark }) => ({ found: mark }),
  answer: async ({ reply, card }) => {
    const requestId = reply['requestId']
    if (requestId !== undefined) answers.put(requestId, card)
    return { outcome: 'sent', message: requestId ?? 'page' }
  },
})
