/** What the views say around the fields of a form, in English. */
export const INPUT_WORDS = {
  cancel: 'Cancel',
  close: 'Close',
  opening: 'One moment',
  openingText: 'The form is being filled in.',
  continued: (label: string) => `${label}, continued`,
  furtherNames: (label: string) => `${label}: groups, or names not in the list`,
  leftOut: (labels: string) => `This form has no room for: ${labels}. Send it without, then write these in the consult's thread.`,
  notChosen: 'Not chosen',
  needed: 'needed',
  fillIn: (label: string) => `Please fill in: ${label}`,
  peopleLine: 'Names, with commas between them',
} as const
