import type { Card } from '../../src/cards/card.js'
import { type ConsultCardInput, consultCard } from '../../src/cards/consult-card.js'
import { A_PLAN, precaution } from '../cards/a-plan.js'

export const ASKER = { id: 'web:asker', name: 'B. Asker', grade: 'registrar' }
export const SENIOR = { id: 'web:senior', name: 'A. Name', grade: 'consultant', field: 'cornea' }

export const CONSULT: ConsultCardInput = {
  ref: 'MARSH-7',
  plan: A_PLAN,
  askedBy: ASKER,
  question: 'Chop, or plan a manual extraction from the start?',
  revision: 2,
  opinions: [
    { by: SENIOR, revision: 2, opinion: { kind: 'agree', steps: ['nucleus'], sentence: 'Chop, slowly.' } },
    { by: { id: 'web:third', name: 'C. Third' }, revision: 1, opinion: { kind: 'need-this-first', steps: [] } },
  ],
  comments: 3,
  openedAt: '2026-11-24T18:00:00Z',
}

/** A drawing without lines: what matters here is where it goes. */
const DRAWING = {
  id: 'picture',
  title: 'Picture',
  blocks: [
    {
      kind: 'picture',
      svg: '<svg xmlns="http://www.w3.org/2000/svg"></svg>',
      alternative: 'Axial length 29.60 mm beside an average 23.5 mm.',
    },
  ],
} as const

const withDrawing = (card: Card): Card => ({ ...card, sections: [DRAWING, ...card.sections] })

export const A_CARD: Card = withDrawing(consultCard(CONSULT))

/** Invented long texts, so that every limit is reached. */
const LONG = 'Ask for a second measurement by another method before the lens is chosen, and write both down. '.repeat(3)

export const MANY = Array.from({ length: 200 }, (_, index) =>
  precaution({
    id: `many-${String(index).padStart(3, '0')}`,
    text: `Precaution number ${index}. ${LONG}`,
    indicator: (['critical', 'warning', 'info'] as const)[index % 3] ?? 'info',
    finding: index % 7 === 0 ? 'unknown' : 'fires',
    ask: `Question number ${index}?`,
    why: `Reason number ${index}. ${LONG}`,
  }),
)

export const HUGE_CARD: Card = withDrawing(
  consultCard({
    ...CONSULT,
    plan: { ...A_PLAN, precautions: MANY },
    question: Array.from({ length: 2000 }, (_, index) => `word${index}`).join(' '),
  }),
)

export const HOSTILE =
  '<!channel> <@U123> *bold* _it_ ~no~ `code` [a](https://example.org) <at>All</at> <script>alert(1)</script> & "quoted" \'too\''

export const HOSTILE_CARD: Card = withDrawing(
  consultCard({
    ...CONSULT,
    question: HOSTILE,
    askedBy: { id: 'web:x', name: HOSTILE, grade: HOSTILE },
    opinions: [{ by: { id: 'web:y', name: HOSTILE }, revision: 2, opinion: { kind: 'agree', steps: [], sentence: HOSTILE } }],
    plan: { ...A_PLAN, case: { ...A_PLAN.case, notUnderstood: [{ text: HOSTILE, line: 1 }] } },
  }),
)
