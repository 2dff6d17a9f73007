import { colleagueAt, isPersonal } from './colleagues.js'
import { isFrequentName } from './frequent-names.js'
import { MOST_SUSPECTS, type Suspect } from './suspect.js'
import type { Token } from './tokens.js'
import { isVocabulary } from './vocabulary.js'

const TITLES = new Set([
  'mr',
  'mrs',
  'ms',
  'miss',
  'mx',
  'mister',
  'madam',
  'sir',
  'dame',
  'herr',
  'frau',
  'mme',
  'monsieur',
  'madame',
  'señor',
  'señora',
  'signor',
  'signora',
  'shri',
  'smt',
])
const NAMED = new Set(['name', 'surname', 'forename', 'firstname', 'lastname', 'names', 'named', 'called', 'nok'])
const NAMED_WITH_COLON = new Set(['patient', 'pt', 'px', 'who', 'client', 'relative', 'wife', 'husband', 'daughter', 'son'])
const IS = new Set(['is', 'was', 's'])
const OF_THE_PATIENT = new Set([
  'patient',
  'pt',
  'px',
  'she',
  'he',
  'her',
  'his',
  'their',
  'lady',
  'gentleman',
  'man',
  'woman',
  'client',
])
/** What only a patient does, and what only a patient has. */
const DONE_BY_PATIENTS = new Set(['wants', 'lives', 'complains', 'presented', 'presents', 'attended', 'attends'])
const HAD_BY_PATIENTS = new Set(
  (
    'left right re le od os eye eyes cataract cataracts biometry surgery operation al vision ' +
    'son daughter wife husband mother father sister brother family carer gp'
  ).split(' '),
)
/** Parts of surnames that stand before them; "al", "la" and "le" are also words of the trade. */
const PARTICLES = new Set(['van', 'von', 'der', 'de', 'del', 'della', 'di', 'da', 'dos', 'bin', 'binti', 'ibn'])

const CAPITALISED = /^\p{Lu}[\p{L}\p{M}]*\p{Ll}[\p{L}\p{M}]*$/u
const CAPITALS = /^\p{Lu}{3,}$/u
const UNCASED = /\p{Lo}/u
const LATIN = /^[\p{Script=Latin}\p{M}\u02B0-\u02FFµ]+$/u

const isWord = (token: Token | undefined): token is Token => token?.kind === 'word'
const isCapitalised = ({ kind, text }: Token): boolean => kind === 'word' && text.length > 1 && CAPITALISED.test(text)
const isUnknown = (token: Token): boolean => !isVocabulary(token.lower)
/** Any run of three letters that are not Latin cannot be told from a name here, with capitals or without. */
const isForeign = ({ text }: Token): boolean => text.length >= 3 && !LATIN.test(text)
const sameLine = (one: Token, other: Token | undefined): boolean => other !== undefined && one.line === other.line
const isGiven = (token: Token): boolean => isFrequentName(token.lower)

/** The next word on the line, over a full stop, a colon or a comma. */
function nextWord(tokens: readonly Token[], at: number, over: string): number {
  let next = at + 1
  while (
    next < at + 4 &&
    sameLine(tokens[at] as Token, tokens[next]) &&
    tokens[next]?.kind === 'symbol' &&
    over.includes(tokens[next]?.text ?? '')
  )
    next += 1
  return isWord(tokens[next]) && sameLine(tokens[at] as Token, tokens[next]) ? next : -1
}

function titled(tokens: readonly Token[], at: number): boolean {
  const token = tokens[at] as Token
  const next = nextWord(tokens, at, '.')
  if (next < 0) return false
  const name = tokens[next] as Token
  if (TITLES.has(token.lower)) {
    // "MS" and "miss" are also words; after them a name has a capital and is no word of the trade.
    const plainly =
      token.text === token.lower ? ['mr', 'mrs', 'mx', 'mme', 'herr', 'frau', 'shri', 'smt'].includes(token.lower) : true
    return plainly ? isUnknown(name) || (isCapitalised(name) && token.lower !== 'miss') : isCapitalised(name) && isUnknown(name)
  }
  return false
}

/** "her name is …", "the patient is called …": what follows is a name however it is written. */
function announced(tokens: readonly Token[], at: number): boolean {
  const [token, before, earlier] = [tokens[at] as Token, tokens[at - 1], tokens[at - 2]]
  const isOfPatient = (word: Token | undefined): boolean => sameLine(token, word) && OF_THE_PATIENT.has(word?.lower ?? '')
  let next = at + 1
  if (token.lower === 'called' || token.lower === 'named') {
    if (!IS.has(before?.lower ?? '') || !isOfPatient(earlier)) return false
  } else if (token.lower === 'name' || token.lower === 'surname') {
    if (IS.has(tokens[next]?.lower ?? '')) next += 1
    else if (!isOfPatient(before)) return false
  } else return false
  const name = tokens[next]
  return isWord(name) && sameLine(token, name) && isUnknown(name)
}

function named(tokens: readonly Token[], at: number): boolean {
  if (announced(tokens, at)) return true
  const token = tokens[at] as Token
  const after = tokens[at + 1]
  const marked = after?.text === ':' || after?.text === '='
  if (NAMED.has(token.lower)) {
    const next = nextWord(tokens, at, ':=-.')
    if (next < 0) return false
    const name = tokens[next] as Token
    return marked ? isUnknown(name) || isCapitalised(name) : isCapitalised(name) && isUnknown(name)
  }
  if (NAMED_WITH_COLON.has(token.lower)) {
    const next = nextWord(tokens, at, ':=')
    if (next < 0) return false
    const name = tokens[next] as Token
    return (
      isUnknown(name) &&
      (marked || isCapitalised(name)) &&
      (isCapitalised(name) || CAPITALS.test(name.text) || isGiven(name) || isUnknown(tokens[next + 1] ?? name))
    )
  }
  return false
}

/** Two words in a row that could be a name: both with capitals and neither of the trade, or a given name and what follows. */
function paired(tokens: readonly Token[], at: number): boolean {
  const token = tokens[at] as Token
  const following = tokens[at + 1]
  const hop = following?.text === ',' || following?.text === '-' || following?.text === '.' || following?.text === "'" ? 2 : 1
  const next = tokens[at + hop]
  if (!isWord(next) || !sameLine(token, next)) return false
  if (isGiven(token) && isUnknown(next) && next.text.length > 1) return true
  if (hop === 2 && following?.text === '.')
    return token.text.length === 1 && /^\p{Lu}$/u.test(token.text) && isCapitalised(next) && isUnknown(next)
  if (token.text.length === 1 && /^\p{Lu}$/u.test(token.text)) return isCapitalised(next) && isUnknown(next) && hop === 1
  if (isCapitalised(token) && isUnknown(token) && isWord(next) && isUnknown(next))
    return isCapitalised(next) || CAPITALS.test(next.text)
  if (CAPITALS.test(token.text) && isUnknown(token) && token.text.length > 3)
    return isUnknown(next) && (isCapitalised(next) || (CAPITALS.test(next.text) && next.text.length > 2))
  return false
}

/** A capitalised word that opens the message or a line and is followed by an eye, an age or a comma: "Smith, 58M". */
function opening(tokens: readonly Token[], at: number): boolean {
  const token = tokens[at] as Token
  if (tokens[at - 1]?.line === token.line || !isUnknown(token)) return false
  const next = tokens[at + 1]
  if (!sameLine(token, next)) return isCapitalised(token) && at === 0 && next !== undefined
  const over = next?.text === ',' ? tokens[at + 2] : next
  if (over === undefined || !sameLine(token, over)) return false
  return isPersonal(over) && (isCapitalised(token) || (CAPITALS.test(token.text) && token.text.length > 3))
}

/** "Quill's left eye", "Quill wants distance", "van Quill", "O'Quill": one unknown word in the place of a name. */
function placed(tokens: readonly Token[], at: number): boolean {
  const [token, next, third, fourth] = [tokens[at] as Token, tokens[at + 1], tokens[at + 2], tokens[at + 3]]
  if (!sameLine(token, next)) return false
  const isName = (one: Token | undefined): boolean =>
    isWord(one) && sameLine(token, one) && isUnknown(one) && (isCapitalised(one) || CAPITALS.test(one.text))
  if (PARTICLES.has(token.lower)) return isName(next)
  if (next?.text === "'" && next.gap === 0) {
    if (/^[OD]$/.test(token.text)) return third?.gap === 0 && isName(third)
    return isName(token) && third?.lower === 's' && sameLine(token, fourth) && HAD_BY_PATIENTS.has(fourth?.lower ?? '')
  }
  return isName(token) && DONE_BY_PATIENTS.has(next?.lower ?? '')
}

/** Words that read as a patient's name. Looks at most a few words to either side of each. */
export function namesIn(tokens: readonly Token[]): readonly Suspect[] {
  const found: Suspect[] = []
  for (let at = 0; at < tokens.length && found.length < MOST_SUSPECTS; at += 1) {
    const token = tokens[at] as Token
    if (token.kind !== 'word') continue
    const colleague = colleagueAt(tokens, at)
    if (colleague === 'patient') found.push({ kind: 'name', token })
    if (typeof colleague === 'number') {
      at += colleague - 1
      continue
    }
    // A script without capitals cannot be told from a name here, so it is refused as one.
    const unreadable = UNCASED.test(token.text) || isForeign(token)
    const lone = isGiven(token) && isCapitalised(token)
    if (unreadable || lone || [titled, named, paired, opening, placed].some((reads) => reads(tokens, at)))
      found.push({ kind: 'name', token })
  }
  return found
}
