import type { Plan, Risk } from '../plan/plan.js'
import type { Block } from './card.js'
import { asSentence, frequency } from './figures.js'
import { WORDS } from './words-en.js'
import { PLAN_PHRASES } from './words-of-plans-en.js'

/** The models whose answer belongs on the first screen: capsule rupture for the surgeon who operates first. */
export const FIRST_RISKS: readonly string[] = ['capsule-rupture-odds-2009', 'capsule-rupture-score-2004']

const DETACHMENT = 'retinal-detachment'

const wordsOf = (text: string): readonly string[] => text.toLowerCase().match(/[\p{L}\p{N}]+/gu) ?? []

/** "55,567 operations, UK" of "55,567 cataract operations by 406 surgeons in 12 UK trusts". */
export function populationBriefly(population: string): string {
  const { countsOperations, further, leftOut, country } = PLAN_PHRASES.population
  if (!countsOperations.test(population) || population.includes(';')) return population
  const [head = population] = population.split(further)
  const short = head.replace(leftOut, '')
  return wordsOf(population).includes(country.toLowerCase()) && !short.includes(country) ? `${short}, ${country}` : short
}

/** The part of a model's sentence that gives its figure, without what follows after a semicolon. */
const figureOf = (risk: Risk): string =>
  (risk.words.split(/; /)[0] ?? risk.words)
    .replace(/\.$/, '')
    .replace(PLAN_PHRASES.recalibrated, PLAN_PHRASES.recalibratedBriefly)

/** A sentence "what, for whom: figure" as label and text, so that neither repeats the other. */
function labelled(words: string): readonly [label: string, text: string] {
  const at = words.indexOf(': ')
  return at === -1 ? [WORDS.risk, words] : [words.slice(0, at), words.slice(at + 2)]
}

/** Years that the text does not give yet. */
const yearsUnsaid = (risk: Risk, text: string): readonly string[] => (text.includes(risk.years) ? [] : [risk.years])

const inBrackets = (parts: readonly string[]): string => (parts.length === 0 ? '' : ` (${parts.join(', ')})`)

/** A second model beside the first: "2004 integer score: 5 in 100 (1,000 operations, UK)". */
function secondOpinion(risk: Risk): string {
  const figure = risk.value === undefined ? (risk.band?.words ?? '') : frequency(risk.value)
  const said = `${risk.model}: ${figure}`
  return `${said}${inBrackets([populationBriefly(risk.population), ...yearsUnsaid(risk, said)])}`
}

/** Capsule rupture by each model that gives a figure, and retinal detachment where this eye stands above its band. */
export function riskBlocks(plan: Plan): readonly Block[] {
  const candidates = plan.risks.filter((risk) => FIRST_RISKS.includes(risk.id))
  const [first, ...others] = candidates.filter((risk) => risk.value !== undefined || risk.band !== undefined)
  return [...(first === undefined ? refused(candidates) : [rupture(first, others)]), ...detachment(plan)]
}

const refused = (candidates: readonly Risk[]): readonly Block[] => [
  {
    kind: 'fact',
    label: WORDS.risk,
    text: candidates.length === 0 ? WORDS.noRisk : candidates.map((risk) => asSentence(risk.words)).join(' '),
  },
]

function rupture(first: Risk, others: readonly Risk[]): Block {
  const [label, figure] = labelled(figureOf(first))
  const origin = [populationBriefly(first.population), ...yearsUnsaid(first, figure)]
  const own = figure.endsWith(')') ? `${figure.slice(0, -1)}; ${origin.join(', ')})` : `${figure}${inBrackets(origin)}`
  const unstated = first.factorsUnstated.length
  return {
    kind: 'fact',
    label,
    text: [own, ...(unstated === 0 ? [] : [WORDS.couldOnlyRise(unstated)]), ...others.map(secondOpinion)].join(' · '),
  }
}

/** One line, only where something stated places this eye above the band of its length. */
function detachment(plan: Plan): readonly Block[] {
  const risk = plan.risks.find((one) => one.id === DETACHMENT)
  const raised =
    risk?.factorsUsed.filter((used) => used.effect.startsWith(PLAN_PHRASES.aboveBand)).map((used) => used.factor) ?? []
  if (risk?.band === undefined || raised.length === 0) return []
  const band = risk.band.words.replace(/ \(.*\)$/, '')
  return [{ kind: 'fact', label: WORDS.detachment, text: WORDS.aboveBand(band, risk.years, raised.join(', ')) }]
}

/** The model's sentence; of its model, population and years, what the sentence does not say itself is added. */
export function riskWithOrigin(risk: Risk): string {
  const said = new Set(wordsOf(risk.words))
  const unsaid = [risk.model, risk.population, risk.years].filter((part) => wordsOf(part).some((word) => !said.has(word)))
  const sentence = risk.words.replace(/\.$/, '')
  return unsaid.length === 0 ? `${sentence}.` : `${sentence} (${unsaid.join('; ')}).`
}
