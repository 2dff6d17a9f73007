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
const COLLEAGUE_TITLES = new Set(['dr', 'prof', 'professor', 'doctor'])
const NAMED = new Set(['name', 'surname', 'forename', 'firstname', 'lastname', 'names', 'named', 'called', 'nok'])
const NAMED_WITH_COLON = new Set(['patient', 'pt', 'px', 'who', 'client', 'relative', 'wife', 'husband', 'daughter', 'son'])
/** Frequent given names that are no words of the trade and hardly begin a sentence. */
const GIVEN_NAMES = new Set(
  (
    'james john robert michael david william richard joseph thomas charles christopher daniel matthew anthony paul andrew joshua kenneth kevin brian george edward ronald timothy jason jeffrey ryan jacob gary ' +
    'nicholas eric jonathan stephen larry justin scott brandon benjamin samuel gregory alexander patrick raymond dennis jerry tyler aaron peter henry douglas adam nathan zachary walter kyle harold carl jeremy ' +
    'mary patricia jennifer linda elizabeth barbara susan jessica sarah karen lisa nancy betty margaret sandra ashley kimberly emily donna michelle carol amanda dorothy melissa deborah stephanie rebecca sharon ' +
    'laura cynthia kathleen amy angela shirley anna brenda pamela emma nicole helen samantha katherine christine debra rachel carolyn janet catherine maria heather diane ruth julie olivia joyce virginia victoria ' +
    'mohammed muhammad mohamed ahmed ali hassan hussein omar ibrahim fatima aisha khadija yusuf abdullah abdul priya rahul amit sunil rajesh anil sanjay deepak ravi suresh lakshmi pooja anjali sunita ' +
    'wei ming jing ling yan chen wang li zhang liu yang huang nguyen tran hiroshi yuki kenji akira haruto sakura kim lee park choi jose juan carlos luis jorge pedro miguel francisco antonio manuel ana carmen ' +
    'rosa lucia sofia elena ivan sergei dmitri alexei olga natasha tatiana svetlana pierre jean marie françois hans klaus jürgen heinz günter ursula helga giovanni giuseppe marco luca paolo giulia francesca ' +
    'smith jones williams brown taylor davies evans wilson johnson roberts walker wright thompson robinson hughes edwards hall green clarke jackson harris cooper khan patel singh begum hussain kaur'
  ).split(' '),
)
/** Those of the list that are also words or trade abbreviations: they count only beside another sign of a name. */
const ALSO_WORDS = new Set([
  'brown',
  'green',
  'hall',
  'wright',
  'walker',
  'cooper',
  'park',
  'lee',
  'li',
  'kim',
  'yan',
  'ana',
  'may',
  'carol',
  'gary',
  'scott',
  'ling',
  'ming',
  'virginia',
  'victoria',
  'rosa',
  'jean',
  'wang',
  'taylor',
  'carl',
  'chen',
  'yang',
  'ali',
  'marco',
  'wei',
  'jing',
  'thompson',
  'wilson',
  'harris',
  'evans',
  'liu',
  'huang',
  'zhang',
  'jackson',
  'roberts',
  'robinson',
])

const CAPITALISED = /^\p{Lu}[\p{L}\p{M}]*\p{Ll}[\p{L}\p{M}]*$/u
const CAPITALS = /^\p{Lu}{3,}$/u
const UNCASED = /\p{Lo}/u

const isWord = (token: Token | undefined): token is Token => token?.kind === 'word'
const isCapitalised = ({ kind, text }: Token): boolean => kind === 'word' && text.length > 1 && CAPITALISED.test(text)
const isUnknown = (token: Token): boolean => !isVocabulary(token.lower)
const sameLine = (one: Token, other: Token | undefined): boolean => other !== undefined && one.line === other.line
const isGiven = (token: Token): boolean => GIVEN_NAMES.has(token.lower) && !ALSO_WORDS.has(token.lower)

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
  // "DR" is diabetic retinopathy. A colleague may be named to be asked; anyone else may not.
  if (COLLEAGUE_TITLES.has(token.lower) && token.text !== token.text.toUpperCase()) {
    const asked = ['ask', 'asked', 'asking'].includes(tokens[at - 1]?.lower ?? '')
    return !asked && isCapitalised(name) && isUnknown(name)
  }
  return false
}

function named(tokens: readonly Token[], at: number): boolean {
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
  const personal =
    (over.kind === 'number' && /^\d{2}$/.test(over.text)) ||
    ['re', 'le', 'od', 'os', 'm', 'f', 'right', 'left', 'male', 'female', 'aged', 'age'].includes(over.lower)
  return personal && (isCapitalised(token) || (CAPITALS.test(token.text) && token.text.length > 3))
}

/** Words that read as a person's name. Looks at most four words ahead of each. */
export function namesIn(tokens: readonly Token[]): readonly Suspect[] {
  const found: Suspect[] = []
  for (let at = 0; at < tokens.length && found.length < MOST_SUSPECTS; at += 1) {
    const token = tokens[at] as Token
    if (token.kind !== 'word') continue
    // A script without capitals cannot be told from a name here, so it is refused as one.
    const uncased = UNCASED.test(token.text)
    const lone = isGiven(token) && isCapitalised(token)
    if (uncased || lone || titled(tokens, at) || named(tokens, at) || paired(tokens, at) || opening(tokens, at))
      found.push({ kind: 'name', token })
  }
  return found
}
