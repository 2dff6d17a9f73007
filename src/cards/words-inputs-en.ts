/** What the views say around the fields of a form, in English. */
export const INPUT_WORDS = {
  cancel: 'Cancel',
  close: 'Close',
  opening: 'One moment',
  openingText: 'The form is being filled in.',
  notOpened: 'Not opened',
  notOpenedText: 'The form could not be opened. You are told in the chat how to type it instead.',
  continued: (label: string) => `${label}, continued`,
  furtherNames: (label: string) => `${label}: groups, or names not in the list`,
  leftOut: (labels: string) => `This form has no room for: ${labels}. Send it without, then write these in the consult's thread.`,
  notChosen: 'Not chosen',
  needed: 'needed',
  fillIn: (label: string) => `Please fill in: ${label}`,
  identifies: (kinds: string) => `May identify the patient (${kinds}): take it out`,
  moreThanShown: 'There is more than this page holds. Write to me: find WORDS',
  peopleLine: 'Names, with commas between them',
} as const
