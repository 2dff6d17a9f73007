/** The values of a field that holds several: `choices` and `people` travel joined by commas. */
export const severalIn = (value: string | undefined): readonly string[] =>
  (value ?? '')
    .split(',')
    .map((part) => part.trim())
    .filter((part) => part !== '')

/** Answers by field id, those left empty left out. */
export const filledIn = (answers: readonly (readonly [id: string, value: string])[]): Readonly<Record<string, string>> =>
  Object.fromEntries(answers.map(([id, value]) => [id, value.trim()] as const).filter(([, value]) => value !== ''))
