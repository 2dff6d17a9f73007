export type GuidanceReason = 'empty' | 'help' | 'picture' | 'too-long' | 'nothing-read'

/** The longest message that is read, in characters. A case with everything in it takes about a tenth. */
export const LONGEST_MESSAGE = 20_000

/** Three invented messages; the tests read each of them without a problem. */
export const EXAMPLE_MESSAGES: readonly string[] = [
  'RE 72F, AL 23.40 optical, K1 43.10@5 K2 43.90@95, ACD 3.10, NS 2+, clear view, target -0.25, A 118.9; consultant',
  'LE 58M, AL 29.60 optical SD 0.02, K1 42.10@95 K2 43.20@5, ACD 3.45; brown NO 5.2; ECD 2180; no fundal view, B-scan flat; fellow eye pseudophakic -1.50; target -1.75; registrar; ? chop or manual',
  'OD\nAL: 29,84 mm\nK1: 43,27 D @ 5°\nK2: 44,41 D @ 95°\nno PXF, tamsulosin stopped\ntarget -2.00\nQ: which lens?',
]

const HOW =
  'Write or paste the eye, age and sex, the biometry (AL with its method, K1 and K2 or radii, ACD, LT, CCT), the nucleus with its scale, ' +
  'what you see of the fundus, the target with its sign, who operates, and one question. Any order; what is not known can be left out. ' +
  'No name, date of birth or record number: the age is enough.'

const withExamples = (first: string): string =>
  `${first}\n${HOW}\nInvented examples:\n${EXAMPLE_MESSAGES.map((example, index) => `${index + 1}. ${example}`).join('\n')}`

/** What to answer where a message holds no case. */
export function guidanceFor(reason: GuidanceReason): string {
  switch (reason) {
    case 'empty':
      return withExamples('The message is empty.')
    case 'help':
      return withExamples('Put a hard cataract case to the team as a short message.')
    case 'picture':
      return withExamples(
        'A picture cannot be read, and a photograph of a biometry sheet usually shows a name. Please type or paste the values.',
      )
    case 'too-long':
      return `The message is longer than ${LONGEST_MESSAGE} characters, so nothing of it was read. ${HOW}`
    case 'nothing-read':
      return withExamples('Nothing in this message could be read as part of a case.')
  }
}

const HELP_WORDS = new Set([
  'help',
  '/help',
  'help me',
  'help please',
  '?',
  'help!',
  'help?',
  'how',
  'usage',
  'commands',
  'hilfe',
  'aide',
  'ayuda',
  'what can you do',
  'what can you do?',
  'examples',
  'example',
])

/** Whether a message asks for help rather than giving a case. */
export const asksForHelp = (text: string): boolean => text.length < 40 && HELP_WORDS.has(text.trim().toLowerCase())
