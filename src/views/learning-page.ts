import type { Block, Card, Section } from '../cards/card.js'
import { ERROR_CONVENTION } from '../learning/formula-errors.js'
import type { Learning } from '../learning/learning.js'
import { FEWEST_EYES } from '../learning/prediction-error.js'
import { constantBlocks } from './learning-constants.js'
import { bandBlocks, errorBlocks } from './learning-errors.js'
import { opinionBlocks, ruptureBlocks } from './learning-outcomes.js'
import { cardHtml } from './page.js'
import { PAGE_STYLE } from './page-style.js'

const line = (text: string, weight: 'plain' | 'strong' | 'quiet' = 'plain'): Block => ({ kind: 'line', text, weight })

const OPEN = ['learning-errors', 'learning-constants', 'learning-ruptures', 'learning-opinions'] as const

const sections = (learning: Learning): readonly Section[] => [
  { id: 'learning-errors', title: 'Prediction error by formula', blocks: errorBlocks(learning) },
  ...(learning.errors.length === 0
    ? []
    : [{ id: 'learning-bands', title: 'Prediction error by axial length', blocks: bandBlocks(learning) }]),
  { id: 'learning-constants', title: 'Lens constants from your own eyes', blocks: constantBlocks(learning) },
  { id: 'learning-ruptures', title: 'Capsule rupture, observed and expected', blocks: ruptureBlocks(learning) },
  { id: 'learning-opinions', title: 'Opinions and what happened', blocks: opinionBlocks(learning) },
]

const counted = (count: number, one: string): string => `${count} ${count === 1 ? one : `${one}s`}`

/** The years that these eyes stand for: from the first operation to the last. */
function operatedWords(lessons: Learning['lessons']): string {
  const days = lessons.map(({ day }) => day).toSorted()
  const [first, last] = [days.at(0), days.at(-1)]
  if (first === undefined || last === undefined) return ''
  return first === last ? `, operated on ${first}` : `, operated from ${first} to ${last}`
}

/** What the trail teaches, as a card: for the page, a file or a terminal. */
export function learningCard(learning: Learning): Card {
  const { consults, lessons, notCompared, unread, erased, drawnFrom, made } = learning
  const compared = lessons.filter(({ errors }) => errors.length > 0)
  return {
    title: 'What the consults taught',
    summary: `${counted(consults, 'consult')}, ${lessons.length} with an outcome, ${compared.length} with a refraction to compare.`,
    first: [
      line(`${counted(consults, 'consult')} up to ${made}; ${lessons.length} with an outcome on record.`, 'strong'),
      ...drawnFrom.map((sentence) => line(sentence)),
      line(
        `${counted(compared.length, 'eye')} with a refraction at four to six weeks to compare with ${compared.length === 1 ? 'its' : 'their'} plan${operatedWords(compared)}.`,
      ),
      ...(notCompared.length === 0
        ? []
        : [
            line('Not compared:'),
            { kind: 'list', items: notCompared.map(({ because, eyes }) => `${eyes}: ${because}`) } as const,
          ]),
      ...(unread === 0
        ? []
        : [
            line(
              `${counted(unread, 'plan')} could not be read and ${unread === 1 ? 'is' : 'are'} in no figure; see: soundings verify`,
              'strong',
            ),
          ]),
      ...(erased === 0
        ? []
        : [
            line(
              `${counted(erased, 'consult')} with an outcome ${erased === 1 ? 'is' : 'are'} in no figure: the plan was erased.`,
            ),
          ]),
      line(`Error: ${ERROR_CONVENTION}. Nothing is given for fewer than ${FEWEST_EYES} eyes.`, 'quiet'),
      line(
        'The trail knows eyes, not people: two eyes of one person count as two, where studies take one (Hoffer KJ et al. Am J Ophthalmol 2015;160:403-405). Consults are the hard cases, and an outcome that went badly may be recorded more, or less, often.',
        'quiet',
      ),
    ],
    sections: sections(learning),
    choices: [],
    typing: '',
    footer:
      'For a department to think about. Nothing here changes a formula, a constant or a rule. Local protocols and licensed practice come first.',
  }
}

/** The card with all its parts open but the longest table, as a fragment for a page. */
export const learningHtml = (learning: Learning): string => cardHtml(learningCard(learning), { isPage: true, open: OPEN })

/** A page that needs no other file. */
export const learningPage = (learning: Learning): string => `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>What the consults taught</title>
<style>${PAGE_STYLE}</style>
</head>
<body>
<main>
${learningHtml(learning)}
</main>
</body>
</html>
`
