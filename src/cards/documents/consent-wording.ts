import type { Plan } from '../../plan/plan.js'
import type { Block, Card } from '../card.js'
import { footerOf } from '../consult-card.js'
import { WORDS } from '../words-en.js'
import { consentRisks } from './consent-risks.js'
import { documentCard, line, section } from './document-parts.js'
import { CONSENT_WORDS } from './words-consent-en.js'

const W = CONSENT_WORDS
const LONG_FROM_MM = 26
const HARD = new Set<string>(['hard', 'very-hard', 'black'])
const MISSING_AT_MOST = 10

function harder(plan: Plan): readonly string[] {
  const long = (plan.case.axialLengthMm?.value ?? 0) >= LONG_FROM_MM
  const hard = HARD.has(plan.case.nucleus?.value.band ?? '')
  if (!long && !hard) return []
  return [long && hard ? W.harder.both : long ? W.harder.long : W.harder.hard, W.soHarder]
}

const isUnseen = (plan: Plan): boolean => plan.case.fundusView?.value === 'none' || plan.case.fundusView?.value === 'partial'

function operation(plan: Plan): readonly Block[] {
  const eye = W.eye[plan.case.eye?.value ?? 'not-stated']
  return [line([W.what(eye), W.noPromise, ...harder(plan)].join(' ')), ...(isUnseen(plan) ? [line(W.unseen)] : [])]
}

function notKnown(plan: Plan): readonly Block[] {
  const missing = plan.gaps.map(({ fact, label, state }) => {
    const name = WORDS.shortFact[fact] ?? label
    return state === 'doubtful' ? WORDS.inDoubt(name) : name
  })
  const named = missing.slice(0, MISSING_AT_MOST)
  const noStudy = plan.precautions.some(({ id, finding }) => id === 'no-study-of-both' && finding === 'fires')
  return [
    line([W.you, ...(noStudy ? [W.noStudy] : []), W.disagree, W.old].join(' ')),
    ...(missing.length === 0 ? [] : [line(W.missing(WORDS.andMore(named.join(', '), missing.length - named.length)), 'quiet')]),
  ]
}

/**
 * The risks of this eye in plain words and frequencies, as a text for the surgeon to edit before a patient sees it.
 * Each figure stands with its model, population and years; nothing is promised, and what is not known is said.
 */
export function consentWording(plan: Plan): Card {
  return documentCard(
    plan,
    { title: [W.name], summary: W.summary, footer: footerOf(plan) },
    [line(W.forSurgeon, 'strong')],
    [
      ...section('operation', W.operation, operation(plan)),
      ...section('harms', W.harms, [line(W.onlyFigures), ...consentRisks(plan)]),
      ...section('choices', W.choices, [line(W.choice)]),
      ...section('after', W.after, [line(W.call), line(W.visits)]),
      ...section('unknown', W.unknown, notKnown(plan)),
    ],
  )
}
