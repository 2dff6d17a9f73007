/** The fixed phrases about the working and the sources of a consult's numbers, in English. */
export const WORKING_WORDS = {
  title: (ref: string) => `${ref}: working`,
  summary: (ref: string) => `How numbers of ${ref} came about: inputs, equation, source.`,
  sourcesTitle: (ref: string) => `${ref}: sources`,
  sourcesSummary: (ref: string) => `Every work that ${ref} cites, and how it was seen.`,
  none: 'No number of this plan has a working.',
  choose: 'These numbers have their working.',
  several: (n: number, wanted: string) => `“${wanted}” may be any of ${n} numbers.`,
  notFound: (wanted: string) => `“${wanted}” is none of the numbers that have their working. These are:`,
  such: (example: string) => `Write: working: 1, or words of one${example === '' ? '' : `, such as: working: ${example}`}.`,
} as const
