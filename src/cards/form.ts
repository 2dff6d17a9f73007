export const FORM_IDS = ['ask', 'opinion', 'change', 'decide', 'outcome', 'task'] as const
export type FormId = (typeof FORM_IDS)[number]

/**
 * One field of a form. Its answer travels as text: a `choices` field as values joined by commas, a `date` as an ISO date,
 * `people` as names or the platform's ids joined by commas, `channel` as the platform's channel id. A platform that cannot
 * pick people shows a line instead; one that has no channels leaves `channel` out.
 */
export interface FormField {
  readonly id: string
  /** At most 75 characters. */
  readonly label: string
  readonly hint?: string
  readonly kind: 'line' | 'text' | 'choice' | 'choices' | 'date' | 'people' | 'channel'
  /** What stands in it at first; for `choices`, values joined by commas. */
  readonly value?: string
  /** For `choice` and `choices`. */
  readonly options?: readonly { readonly value: string; readonly label: string }[]
  readonly required: boolean
}

/** What a form is about; it comes back with the answers as it was. */
export interface FormAbout {
  readonly ref?: string
  readonly draftId?: string
  readonly revision?: number
}

/** A form free of any platform: a modal, a dialog or a page shows it. */
export interface Form {
  readonly id: FormId
  /** At most 24 characters: a modal's title is cut beyond them. */
  readonly title: string
  readonly about: FormAbout
  /** Something to be read before answering, such as what still has to be decided. */
  readonly intro?: string
  readonly fields: readonly FormField[]
  /** At most 24 characters. */
  readonly submit: string
}
