const MINUTE_MS = 60_000
/** Whoever has left a room sees it for so long at most. */
const KEEP_MS = 5 * MINUTE_MS
const KEEP_FAILURE_MS = MINUTE_MS
const MOST_ANSWERS = 2_000

/** Answers kept for some minutes; what could not be told is asked again sooner. Those who ask at once share one question. */
export function keptAnswers<Answer>(now: () => number, told: (answer: Answer) => boolean) {
  const kept = new Map<string, { readonly answer: Promise<Answer>; until: number }>()
  return (key: string, ask: () => Promise<Answer>): Promise<Answer> => {
    const before = kept.get(key)
    if (before !== undefined && before.until > now()) return before.answer
    const entry = { answer: ask(), until: now() + KEEP_MS }
    if (kept.size >= MOST_ANSWERS) kept.clear()
    kept.set(key, entry)
    void entry.answer.then((answer) => {
      if (!told(answer)) entry.until = now() + KEEP_FAILURE_MS
    })
    return entry.answer
  }
}
