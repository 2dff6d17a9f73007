import { z } from 'zod'
import type { ChoiceAction } from '../../src/cards/card.js'
import { OPINIONS } from '../../src/consult/opinion.js'

const choiceAction = z.discriminatedUnion('action', [
  z.strictObject({
    action: z.enum(['post-draft', 'correct-draft', 'cancel-draft']),
    draftId: z.string().min(1).max(200),
  }),
  z.strictObject({
    action: z.literal('give-opinion'),
    ref: z.string().min(1).max(100),
    revision: z.int().min(1),
    opinion: z.enum(OPINIONS),
  }),
])

/** What a button carries, or undefined where it is not one of ours of today: a button may be years old. */
export function readChoice(value: string | undefined): ChoiceAction | undefined {
  if (value === undefined) return undefined
  try {
    return choiceAction.safeParse(JSON.parse(value)).data
  } catch {
    return undefined
  }
}
