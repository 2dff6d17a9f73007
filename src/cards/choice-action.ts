import { z } from 'zod'
import { OPINIONS } from '../consult/opinion.js'
import type { ChoiceAction } from './card.js'
import { FORM_IDS } from './form.js'

const reference = z.string().min(1).max(100)

const choiceActionSchema = z.discriminatedUnion('action', [
  z.strictObject({ action: z.enum(['post-draft', 'correct-draft', 'cancel-draft']), draftId: z.string().min(1).max(200) }),
  z.strictObject({
    action: z.literal('give-opinion'),
    ref: reference,
    revision: z.int().min(1),
    opinion: z.enum(OPINIONS),
  }),
  z.strictObject({
    action: z.literal('open-form'),
    form: z.enum(FORM_IDS),
    ref: reference.optional(),
    draftId: z.string().min(1).max(200).optional(),
    revision: z.int().min(1).optional(),
  }),
  z.strictObject({ action: z.enum(['reveal', 'stop-reminders', 'near-miss']), ref: reference }),
  z.strictObject({ action: z.literal('task-done'), ref: reference, task: z.string().regex(/^T\d{1,4}$/) }),
])

/** What a button carries as JSON, or undefined where it is not one of ours of today: a button may be years old. */
export function readChoiceAction(value: string | undefined): ChoiceAction | undefined {
  if (value === undefined) return undefined
  try {
    const read = choiceActionSchema.safeParse(JSON.parse(value)).data
    return read === undefined ? undefined : (read as ChoiceAction)
  } catch {
    return undefined
  }
}
