/** The fixed phrases of the thread on the page, in English; another language is a second object of this type. */
export const THREAD_WORDS = {
  title: 'Thread',
  changed: 'changed since',
  own: 'Change or take back',
  text: 'Your comment, as it shall read',
  change: 'Keep the change',
  takeBack: 'Take it back',
  kept: 'The trail keeps what it said before, and that you changed it or took it back.',
} as const
