import { MOST_SUSPECTS, type Suspect } from './suspect.js'
import type { Token } from './tokens.js'
import { isVocabulary } from './vocabulary.js'

const STREETS_ANY_CASE = new Set(['street', 'road', 'avenue', 'boulevard', 'crescent', 'straße', 'strasse', 'rue', 'cul-de-sac'])
const STREETS_CAPITALISED = new Set([
  'St',
  'Rd',
  'Ave',
  'Lane',
  'Ln',
  'Drive',
  'Dr',
  'Close',
  'Court',
  'Ct',
  'Way',
  'Place',
  'Pl',
  'Terrace',
  'Gardens',
  'Square',
  'Blvd',
  'Grove',
  'Mews',
  'Hill',
  'Park',
  'Row',
])
const ADDRESS_WORDS = new Set(['address', 'addr', 'postcode', 'zip', 'zipcode'])
const CODE_WORDS = new Set(['postcode', 'zip', 'zipcode'])
/** Letters that the second half of a British postcode never has. */
const NOT_INWARD = /[CIKMOV]/

const isEmail = (tokens: readonly Token[], at: number): boolean => {
  const [before, sign, after] = [tokens[at - 1], tokens[at] as Token, tokens[at + 1]]
  if (sign.text !== '@' || before === undefined || after?.kind !== 'word') return false
  if (sign.gap > 0 || after.gap > 0 || before.line !== sign.line) return false
  for (let ahead = at + 2; ahead < at + 12; ahead += 1) {
    const token = tokens[ahead]
    if (token === undefined || token.gap > 0 || token.line !== sign.line) return false
    if (token.text === '.' && tokens[ahead + 1]?.kind === 'word' && tokens[ahead + 1]?.gap === 0) return true
  }
  return false
}

/** "name (at) place.example" and "name [at] place dot example". */
function isSpeltEmail(tokens: readonly Token[], at: number): boolean {
  const [before, open, sign, close, place, point] = tokens.slice(at - 1, at + 5)
  if (at === 0 || !['(', '['].includes(open?.text ?? '') || sign?.lower !== 'at' || ![')', ']'].includes(close?.text ?? ''))
    return false
  const isOneLine = before?.line === open?.line && point?.line === open?.line
  return isOneLine && before?.kind === 'word' && place?.kind === 'word' && (point?.text === '.' || point?.lower === 'dot')
}

/** A number, one to three words, a word for a street: "12 High Street". */
function isStreet(tokens: readonly Token[], at: number): boolean {
  const token = tokens[at] as Token
  const anyCase = STREETS_ANY_CASE.has(token.lower)
  if (!anyCase && !STREETS_CAPITALISED.has(token.text)) return false
  const before = tokens[at - 1]
  if (before?.kind !== 'word' || before.line !== token.line || !/^\p{Lu}/u.test(before.text)) return false
  if (anyCase && /^\p{Lu}/u.test(token.text)) return true
  for (let back = 2; back <= 4; back += 1) {
    const number = tokens[at - back]
    if (number === undefined || number.line !== token.line) return false
    if (number.kind === 'number') return /^\d{1,4}$/.test(number.text)
    if (number.kind !== 'word' || !/^\p{Lu}/u.test(number.text)) return false
  }
  return false
}

const isHouseNumber = (token: Token | undefined): boolean => token?.kind === 'number' && /^\d{1,4}$/.test(token.text)

/** "lives at 4 …", "address is 7 …", "postcode zz1 …", "PO Box 12", "Flat 3, Some House", "Somestrasse 12". */
function isAnnounced(tokens: readonly Token[], at: number): boolean {
  const [token, next, third, fourth] = [tokens[at] as Token, tokens[at + 1], tokens[at + 2], tokens[at + 3]]
  if (next?.line !== token.line) return false
  const isMarked = next.text === ':' || next.lower === 'is'
  if (ADDRESS_WORDS.has(token.lower) && isMarked) return third?.line === token.line
  if (CODE_WORDS.has(token.lower)) return next.kind === 'number' || /^[a-z]{1,2}$/i.test(next.text)
  if (['lives', 'living', 'resident'].includes(token.lower) && next.lower === 'at') return isHouseNumber(third)
  if (token.lower === 'po' && next.lower === 'box') return third?.kind === 'number'
  if (/\p{L}{3,}(?:stra(?:ß|ss)e|gasse)$/u.test(token.lower)) return isHouseNumber(next)
  if (!['Flat', 'Apt', 'Apartment'].includes(token.text) || !isHouseNumber(next)) return false
  const after = third?.text === ',' ? fourth : third
  const named = after?.line === token.line && after.kind === 'word' && /^\p{Lu}/u.test(after.text)
  // "Flat 43, Steep 44" is a cornea.
  return named && (!isVocabulary(after.lower) || ['house', 'court', 'lodge', 'tower'].includes(tokens[at + 4]?.lower ?? ''))
}

/** "AB1 2CD": capitals as in print, parted by one blank or none. */
function isPostcode(tokens: readonly Token[], at: number): boolean {
  const [area, district, ...rest] = tokens.slice(at, at + 6)
  if (
    area === undefined ||
    district === undefined ||
    !/^[A-Z]{1,2}$/.test(area.text) ||
    district.gap > 0 ||
    !/^\d{1,3}$/.test(district.text)
  )
    return false
  const letter = rest[0]?.kind === 'word' && rest[0].gap === 0 && /^[A-Z]$/.test(rest[0].text) ? 1 : 0
  const [sector, unit, after] = [rest[letter], rest[letter + 1], rest[letter + 2]]
  if (after !== undefined && after.gap === 0 && (after.kind === 'word' || after.kind === 'number')) return false
  if (sector?.kind === 'number' && /^\d$/.test(sector.text) && sector.gap <= 1 && sector.line === area.line && unit?.gap === 0) {
    return /^[A-Z]{2}$/.test(unit.text) && !NOT_INWARD.test(unit.text) && district.text.length <= 2
  }
  // Without the blank the digits of both halves are one number: "AB12CD".
  return (
    letter === 0 &&
    /^\d{2,3}$/.test(district.text) &&
    rest[0]?.gap === 0 &&
    /^[A-Z]{2}$/.test(rest[0]?.text ?? '') &&
    !NOT_INWARD.test(rest[0]?.text ?? '')
  )
}

/** E-mail and postal addresses. Looks at most a dozen tokens to either side. */
export function addressesIn(tokens: readonly Token[]): readonly Suspect[] {
  const found: Suspect[] = []
  for (let at = 0; at < tokens.length && found.length < MOST_SUSPECTS; at += 1) {
    const token = tokens[at] as Token
    if (isSpeltEmail(tokens, at)) {
      found.push({ kind: 'email', token: tokens[at - 1] ?? token })
    } else if (token.text === '@') {
      if (isEmail(tokens, at)) found.push({ kind: 'email', token: tokens[at - 1] ?? token })
    } else if (token.kind === 'word') {
      if (isAnnounced(tokens, at) || isStreet(tokens, at) || isPostcode(tokens, at)) found.push({ kind: 'address', token })
    }
  }
  return found
}
