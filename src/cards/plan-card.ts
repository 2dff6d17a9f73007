import type { Plan } from '../plan/plan.js'
import type { Card } from './card.js'
import { eyeInWords } from './case-words.js'
import { footerOf, planSections } from './consult-card.js'
import { lensBlocks } from './first-lens.js'
import { belowBlocks, questionBlocks } from './first-questions.js'
import { riskBlocks } from './first-risks.js'
import { cautionBlocks, eyeWarning, questionAsked, whatIsHard } from './first-screen.js'
import { forecastLine } from './forecast-section.js'
import { orderLine } from './lens-detail-sections.js'
import { WORDS } from './words-en.js'
import { workingSection } from './working.js'

/** A plan that was put to nobody: what a terminal shows, with the working of every number. */
export function planCard(plan: Plan): Card {
  const title = `${eyeInWords(plan.case)} · ${WORDS.planNotPosted}`
  return {
    title,
    summary: title,
    first: [
      ...eyeWarning(plan),
      whatIsHard(plan),
      ...questionAsked(plan.case.question?.value),
      ...lensBlocks(plan),
      ...orderLine(plan, undefined),
      ...forecastLine(plan),
      ...cautionBlocks(plan),
      ...riskBlocks(plan),
      ...questionBlocks(plan, []),
      ...belowBlocks(plan, []),
    ],
    sections: [...planSections(plan, []), ...workingSection(plan)],
    choices: [],
    typing: '',
    footer: footerOf(plan),
  }
}
