import { isVocabulary } from './vocabulary.js'

/**
 * Words that stand in no name of a colleague or a group. Where one of them stands in the place of a name, what follows may
 * be about somebody else, so the identifier guard reads it like any other text.
 */
const NOT_IN_A_NAME = new Set(
  (
    'about regarding concerning re with without of from to at if when because as but or so then is are was were be been has have had who whom whose ' +
    'which that this these my our your her his their its he she they it we you i patient patients pt pts px client lady gentleman man woman mother father son daughter wife ' +
    'husband brother carer relative baby born dob yob nhs mrn left eye od os aged age yo year years old male female called named name ' +
    'surname please today tonight tomorrow asap urgently urgent routine surgery deputy hide ask asks needs need wants lives bring ring call phone'
  ).split(' '),
)
const LONGEST_NAME = 5

const NAME_WORD = /^\p{L}[\p{L}\p{M}]*(?:['’-]\p{L}[\p{L}\p{M}]*)*\.?$/u
/** "Odile Finch (cornea)": what tells two people of one name apart. */
const IN_BRACKETS = /\s*\((?<field>[\p{L}\p{M} -]{2,40})\)$/u

const wordsOf = (name: string): readonly string[] => name.replace(IN_BRACKETS, '').split(/\s+/u)
const bare = (word: string): string => word.toLowerCase().replace(/\.$/u, '')

/** Whether words can be the name of a person or of a group at all. */
export function couldBeName(name: string): boolean {
  const words = wordsOf(name)
  return (
    words.length <= LONGEST_NAME &&
    words.every(
      (word, index) =>
        NAME_WORD.test(word) && !/['’]s$/iu.test(word) && !NOT_IN_A_NAME.has(bare(word)) && (index === 0 || bare(word) !== 'the'),
    )
  )
}

const PARTICLES = new Set([
  'van',
  'von',
  'der',
  'den',
  'de',
  'del',
  'della',
  'di',
  'da',
  'dos',
  'du',
  'la',
  'le',
  'al',
  'el',
  'bin',
  'binti',
  'ibn',
])

/**
 * Whether words in the place of a colleague are a name and nothing besides: each with a capital, or none of them a word of
 * the trade or of every day. "Odile Finch", "odile finch" and "RETINA TEAM" are, "Odile Finch drops" is not.
 */
export function isColleagueName(name: string): boolean {
  const words = wordsOf(name)
  return (
    couldBeName(name) &&
    (words.every((word) => /^\p{Lu}/u.test(word) || PARTICLES.has(bare(word))) || !words.some((word) => isVocabulary(bare(word))))
  )
}
