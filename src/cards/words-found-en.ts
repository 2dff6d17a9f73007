/** The words of what a search answers. */
export const FOUND_WORDS = {
  outcome: (words: string) => `outcome: ${words}`,
  shown: (from: number, to: number, total: number) =>
    from === to ? `This is number ${from} of ${total}.` : `These are ${from} to ${to} of ${total}.`,
  nextPage: (query: string, page: number) => `For more, write: find ${query} page ${page}`,
  pastTheEnd: (total: number) => `There are only ${total}. An earlier page shows them.`,
  notStated: (n: number) =>
    n === 1
      ? 'One more does not state what you ask for, so it may or may not belong here.'
      : `${n} more do not state what you ask for, so they may or may not belong here.`,
  mayBeMore: 'There may be more in the trail than was looked through. More words, or from: and to:, narrow it.',
  howTo:
    'You can combine words, \u201cwords side by side\u201d, AL>30, ECD 1500-2000, eye:left, step:nucleus, by:NAME, outcome:rupture, outcome:missing, from:2026-01, to:2026-03.',
  faultsTitle: 'Not searched',
  faultsSummary: 'Part of the search was not understood; nothing was searched.',
  nothing: 'Search',
  instead: (example: string) => `Write, for example: find ${example}`,
} as const
