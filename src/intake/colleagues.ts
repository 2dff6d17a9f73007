import { isFrequentName } from './frequent-names.js'
import type { Token } from './tokens.js'
import { isVocabulary } from './vocabulary.js'

/** "Consultant" and the like are titles only straight before a name. */
const TITLES = new Set(['dr', 'prof', 'professor', 'doctor', 'consultant', 'registrar', 'anaesthetist', 'attending'])
const PATIENT = new Set(['patient', 'pt', 'px', 'name', 'surname', 'called', 'named', 'client'])
const LONGEST_NAME = 3

/** What stands beside a patient's name: an eye, an age, a sex. */
export const isPersonal = ({ kind, text, lower }: Token): boolean =>
  (kind === 'number' && /^\d{2}$/.test(text)) ||
  ['re', 'le', 'od', 'os', 'm', 'f', 'right', 'left', 'male', 'female', 'aged', 'age'].includes(lower)

/** A word in the place of a name: an initial, or a capitalised word that is none of the trade. */
const isNamePart = ({ kind, text, lower }: Token): boolean =>
  kind === 'word' && /^\p{Lu}/u.test(text) && (text.length === 1 || isFrequentName(lower) || !isVocabulary(lower))

/**
 * A colleague addressed by title and name. In a thread a doctor, a professor or a consultant by name is somebody to be
 * asked: a person of the department, whom chat shows by name anyway. "Mr", "Mrs" and "Ms" stay refused, though surgeons
 * bear them too: nothing tells the surgeon from the patient there.
 * @returns how many tokens title and name take; "patient" where what stands around makes the person one; else undefined
 */
export function colleagueAt(tokens: readonly Token[], at: number): number | 'patient' | undefined {
  const title = tokens[at] as Token
  // "DR" in capitals is diabetic retinopathy.
  if (!TITLES.has(title.lower) || title.text === 'DR') return undefined
  let next = at + 1
  let parts = 0
  let end = at
  while (next < tokens.length && parts < LONGEST_NAME && tokens[next]?.line === title.line) {
    const token = tokens[next] as Token
    const joins =
      ['.', '-', "'"].includes(token.text) &&
      (token.text === '.' ? parts === 0 || tokens[next - 1]?.text.length === 1 : token.gap === 0)
    if (!joins && !isNamePart(token)) break
    if (!joins) {
      parts += 1
      end = next
    }
    next += 1
  }
  const isInitialOnly = parts === 1 && tokens[end]?.text.length === 1
  if (parts === 0 || isInitialOnly) return undefined
  let back = at - 1
  while ([':', '=', '-'].includes(tokens[back]?.text ?? '') || ['is', 'was'].includes(tokens[back]?.lower ?? '')) back -= 1
  const before = tokens[back]
  const after = tokens[end + 1]?.text === ',' || tokens[end + 1]?.text === '(' ? tokens[end + 2] : tokens[end + 1]
  const isPatient =
    (before?.line === title.line && PATIENT.has(before.lower)) ||
    (after?.line === title.line && isPersonal(after) && !startsAList(tokens, end))
  return isPatient ? 'patient' : end - at + 1
}

/** "Dr Quill, right eye only": after a comma only an age says that the person is the patient. */
const startsAList = (tokens: readonly Token[], end: number): boolean =>
  tokens[end + 1]?.text === ',' &&
  tokens[end + 2]?.kind === 'word' &&
  !['m', 'f', 'male', 'female', 'aged', 'age'].includes(tokens[end + 2]?.lower ?? '')
