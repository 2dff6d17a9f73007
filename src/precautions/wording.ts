/** Wording that promises what nobody can promise, and what to write instead. */
const PROMISES: readonly { readonly pattern: RegExp; readonly instead: string }[] = [
  { pattern: /\bsafe(?:ly|st)?\b/i, instead: 'say what is done or measured; no case is called safe' },
  { pattern: /\bharmless\b/i, instead: 'say which harm was looked for and how often it was seen' },
  {
    pattern: /\b(?:no|zero|without(?: any)?|free of) (?:risk|danger|complications?)\b/i,
    instead: 'say how often it happens, and where that was counted',
  },
  { pattern: /\brisk-free\b/i, instead: 'say how often it happens, and where that was counted' },
  { pattern: /\bguarantee(?:s|d)?\b/i, instead: 'say what was found, and in which eyes' },
  {
    pattern: /\b(?:will|can) (?:not|never) (?:happen|occur|rupture|tear|detach|fail|go wrong)\b/i,
    instead: 'say that it is less frequent, and by how much',
  },
  { pattern: /\b(?:will not|won't|will never)\b/i, instead: 'say "is less likely to", with the figure' },
  { pattern: /\b(?:cannot|can't|never|does not|doesn't) fails?\b/i, instead: 'say how often it failed' },
  {
    pattern: /\b(?:eliminates?|rules? out all|fully prevents?|completely prevents?|always works?)\b/i,
    instead: 'say "lowers", with the figure',
  },
  { pattern: /\b(?:certain|sure) to (?:succeed|work|heal|recover)\b/i, instead: 'say how often it succeeded' },
  { pattern: /\bnothing to (?:worry|fear)\b/i, instead: 'say what remains to be watched' },
]

export interface Promised {
  readonly words: string
  readonly instead: string
}

/** The first promise in a text, if it makes one. */
export function promiseIn(text: string): Promised | undefined {
  for (const { pattern, instead } of PROMISES) {
    const words = pattern.exec(text)?.[0]
    if (words !== undefined) return { words, instead }
  }
  return undefined
}

/** "must" is kept for what a guideline or a trial asks for. */
export const obliges = (text: string): boolean => /\bmust\b/i.test(text)
