import { addressesIn } from './identifier-addresses.js'
import { datesOfBirthIn } from './identifier-dates.js'
import { namesIn } from './identifier-names.js'
import { numbersIn } from './identifier-numbers.js'
import { normalise } from './normalise.js'
import type { IdentifierKind, Suspect } from './suspect.js'
import { tokenise } from './tokens.js'

/** What identifies a patient: which kind and where. Never the text itself. */
export interface Identifier {
  readonly kind: IdentifierKind
  /** Line and column of the message, from 1; of several of one kind on a line, the first. */
  readonly line: number
  readonly column: number
}

/**
 * Looks for what identifies a patient. Runs before anything else and in time linear in the length of the text:
 * one pass to fold the signs, one to part the words, and searches that look a fixed number of words ahead.
 * A date counts as one of birth unless it is named as that of surgery or biometry and lies within two years of today.
 * @param today ISO date
 */
export function findIdentifiers(text: string, today: string): readonly Identifier[] {
  const plain = normalise(text)
  const tokens = tokenise(plain.text)
  const suspects = [...namesIn(tokens), ...datesOfBirthIn(tokens, today), ...numbersIn(tokens), ...addressesIn(tokens)]
  const seen = new Set<string>()
  return [...mostSpecific(suspects)]
    .sort((one, other) => one.token.start - other.token.start)
    .flatMap(({ kind, token }) => {
      const key = `${kind} ${token.line}`
      if (seen.has(key)) return []
      seen.add(key)
      const start = plain.origin(plain.text.lastIndexOf('\n', token.start) + 1)
      return [{ kind, line: token.line, column: plain.origin(token.start) - start + 1 }]
    })
}

/** Narrowest first: what is a date of birth is not also reported as a run of digits. */
const SPECIFIC_FIRST: readonly IdentifierKind[] = [
  'email',
  'date-of-birth',
  'record-number',
  'phone',
  'address',
  'name',
  'long-number',
]

/** Of findings that share words the most specific. Each search finds a bounded number, so that comparing them is bounded too. */
function mostSpecific(suspects: readonly Suspect[]): readonly Suspect[] {
  const kept: Suspect[] = []
  const end = ({ token, last }: Suspect): number => (last ?? token).end
  for (const kind of SPECIFIC_FIRST) {
    for (const suspect of suspects) {
      if (suspect.kind !== kind) continue
      const overlaps = kept.some(
        (other) => other.kind !== kind && suspect.token.start < end(other) && other.token.start < end(suspect),
      )
      if (!overlaps) kept.push(suspect)
    }
  }
  return kept
}

const KINDS: Readonly<Record<IdentifierKind, { readonly what: string; readonly instead: string }>> = {
  name: {
    what: 'what reads as a name',
    instead: 'leave names out; the bot gives the case a reference. If it is no name, write it in small letters',
  },
  'date-of-birth': {
    what: 'what reads as a date of birth',
    instead: 'write the age instead of the date of birth; write a date of surgery as "surgery 2026-12-03"',
  },
  'record-number': { what: 'what reads as a record number', instead: 'leave the number out; the bot gives the case a reference' },
  phone: { what: 'what reads as a telephone number', instead: 'leave the number out' },
  email: { what: 'what reads as an e-mail address', instead: 'leave the address out' },
  address: { what: 'what reads as a postal address', instead: 'leave the address out' },
  'long-number': { what: 'a long run of digits', instead: 'leave the number out; part measurements with commas' },
}

const LISTED = 8

/** What to tell the sender: which kind, where, and what to write instead. Never repeats what was found. */
export function identifierMessage(found: readonly Identifier[]): string {
  const lines = found
    .slice(0, LISTED)
    .map(({ kind, line, column }) => `line ${line}, character ${column}: ${KINDS[kind].what}; ${KINDS[kind].instead}.`)
  const more = found.length > LISTED ? [`and ${found.length - LISTED} more.`] : []
  return ['Nothing was kept: the message holds what may identify a patient.', ...lines, ...more].join('\n')
}
