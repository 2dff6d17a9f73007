import type { Plan, Risk } from '../../plan/plan.js'
import { refraction } from '../../terms/power.js'
import type { Block } from '../card.js'
import { asSentence, frequency, withThousands } from '../figures.js'
import { frequencyRange } from '../frequency-range.js'
import { sourceBriefly } from '../sources.js'
import { PLAN_PHRASES } from '../words-of-plans-en.js'
import { fact, line } from './document-parts.js'
import { CONSENT_WORDS } from './words-consent-en.js'

const W = CONSENT_WORDS
const K = W.kinds
const NEEDLE = new Set<string>(['peribulbar', 'retrobulbar'])
const UNEQUAL_FROM_D = 2.5
/** From here a target is told as short-sighted: a convention of this project. */
const NEAR_FROM_D = -1

/** Model, population and years stand behind every figure. */
const originOf = (risk: Risk): string =>
  W.source([risk.model, risk.population, risk.years, sourceBriefly(risk.source)].join('; '))

const riskOf = (plan: Plan, id: string): Risk | undefined => plan.risks.find((risk) => risk.id === id)
const fires = (plan: Plan, id: string): boolean => plan.precautions.some((one) => one.id === id && one.finding === 'fires')

/** A harm in plain words, and under it in small type where its figures come from. */
const harm = (label: string, sentences: readonly string[], origins: readonly string[] = []): readonly Block[] => [
  fact(label, sentences.filter((one) => one !== '').join(' ')),
  ...(origins.length === 0 ? [] : [line(origins.join(' '), 'quiet')]),
]

/** Words of the trade within a figure, as a patient reads them. */
const plainly = (words: string): string =>
  words.replace(PLAN_PHRASES.withStaphyloma, W.staphyloma).replace(PLAN_PHRASES.retrobulbar, W.behindTheEye)

/** Who else could operate, by the same study: only a consultant, since that is the choice a patient may ask for. */
function ruptureByOdds(risk: Risk): readonly string[] {
  if (risk.value === undefined) return [W.noFigure]
  const scaled = risk.recalibrated.map(({ value }) => value)
  const consultant = risk.otherSurgeons.find(({ surgeon }) => surgeon === 'consultant')
  const unstated = risk.factorsUnstated.length
  return [
    risk.surgeon === undefined ? W.anySurgeon : W.surgeon(risk.surgeon),
    W.older(frequency(risk.value)),
    ...(scaled.length === 0 ? [] : [W.scaled(frequencyRange(Math.min(...scaled), Math.max(...scaled)))]),
    ...(consultant === undefined ? [] : [W.other(consultant.surgeon, frequency(consultant.value))]),
    ...(unstated === 0 ? [] : [W.couldBeMore(unstated)]),
  ]
}

function rupture(plan: Plan): readonly Block[] {
  const odds = riskOf(plan, 'capsule-rupture-odds-2009')
  const score = riskOf(plan, 'capsule-rupture-score-2004')
  const told = [...(odds?.value === undefined ? [] : [odds]), ...(score?.value === undefined ? [] : [score])]
  const counted = score?.value === undefined ? [] : [W.second(frequency(score.value))]
  const figures = odds === undefined ? [W.noFigure] : ruptureByOdds(odds)
  return harm(K.rupture, [...figures, ...counted, K.ruptureWhat], told.map(originOf))
}

/** A risk whose band says its figure in words; nothing where the plan holds no such risk. */
function banded(plan: Plan, id: string, label: string, what: string): readonly Block[] {
  const risk = riskOf(plan, id)
  if (risk === undefined) return []
  const raised = risk.factorsUsed.filter(({ effect }) => effect.startsWith(PLAN_PHRASES.aboveBand)).map((used) => used.factor)
  const figure = risk.band?.low === undefined ? W.noFigure : asSentence(plainly(risk.band.words))
  const higher = raised.length === 0 ? '' : W.maybeHigher(raised.join(', '))
  return harm(label, [figure, higher, what], [originOf(risk)])
}

/** Only where a sharp needle is planned, or where nobody has said that none is. */
const needle = (plan: Plan): readonly Block[] => {
  const planned = plan.case.anaesthesia?.value
  return planned === undefined || NEEDLE.has(planned) ? banded(plan, 'needle-block-perforation', K.needle, K.needleWhat) : []
}

function cornea(plan: Plan): readonly Block[] {
  const forecast = plan.surgery.find(({ id }) => id === 'endothelium-forecast')
  const cells = (name: string, step: number): string | undefined => {
    const value = forecast?.values.find((one) => one.name === name)?.value
    return value === undefined ? undefined : withThousands(Math.round(value / step) * step)
  }
  const before = cells(PLAN_PHRASES.cells.before, 1)
  const [low, high] = [cells(PLAN_PHRASES.cells.low, 100), cells(PLAN_PHRASES.cells.high, 100)]
  if (before === undefined || low === undefined || high === undefined || forecast === undefined)
    return harm(K.cornea, [W.noFigure])
  return harm(K.cornea, [K.corneaFigure(before, low, high)], [W.source(sourceBriefly(forecast.source))])
}

function glasses(plan: Plan): readonly Block[] {
  const { forecast, target, fellow } = plan.lens
  const chances = forecast?.biased ?? forecast?.unbiased
  const known = forecast !== undefined && chances !== undefined
  const figure = known ? K.glassesFigure(frequency(chances.withinHalf), frequency(chances.withinOne)) : W.noFigure
  const origin = known ? [W.source([forecast.model, forecast.population, forecast.years].join('; '))] : []
  const gap = fellow?.anisometropia
  const apart = gap === undefined ? 0 : Math.max(Math.abs(gap.lowD), Math.abs(gap.highD))
  return [
    ...harm(
      K.glasses,
      [K.glassesAim(refraction(target.refractionD)), target.refractionD <= NEAR_FROM_D ? K.glassesNear : '', figure],
      origin,
    ),
    ...(apart >= UNEQUAL_FROM_D ? harm(K.unequal, [K.unequalWhat]) : []),
  ]
}

/** Each harm of this eye in plain words, what happens more often or costs more first. */
export const consentRisks = (plan: Plan): readonly Block[] => [
  ...rupture(plan),
  ...banded(plan, 'retinal-detachment', K.detachment, K.detachmentWhat),
  ...banded(plan, 'retinal-detachment-after-capsule-rupture', K.detachmentAfter, ''),
  ...glasses(plan),
  ...cornea(plan),
  ...(fires(plan, 'consent-for-a-dense-nucleus') ? harm(K.cut, [K.cutWhat]) : []),
  ...(fires(plan, 'steroid-response-in-a-younger-long-eye') ? harm(K.pressure, [K.pressureWhat]) : []),
  ...harm(K.infection, [K.infectionWhat]),
  ...banded(plan, 'suprachoroidal-haemorrhage', K.bleeding, K.bleedingWhat),
  ...banded(plan, 'wound-burn', K.burn, K.burnWhat),
  ...needle(plan),
  ...harm(K.clouding, [K.cloudingWhat]),
  ...banded(plan, 'late-dislocation', K.moved, K.movedWhat),
  ...harm(K.again, [K.againWhat]),
]
