import type { Plan } from '../plan/plan.js'
import { lensPower, refraction } from '../terms/power.js'
import type { Block } from './card.js'
import { asSentence, capitalised, powerRange, refractionRange, uncapitalised } from './figures.js'
import { WORDS } from './words-en.js'

type Lens = Plan['lens']
type Recommended = NonNullable<Lens['recommended']>

/** The facts that the line of the lens names as missing, so that nothing else on the first screen says it again. */
export const saidForNoLens = ({ lens }: Plan): ReadonlySet<string> =>
  new Set(lens.recommended === undefined ? lens.missing.map(({ fact }) => fact) : [])

/** The label says that there is no lens power; a reason begins after the plan's own words for that. */
const withoutOpening = (sentence: string): string => {
  const opening = WORDS.noLensOpenings.find((words) => sentence.startsWith(words))
  return opening === undefined ? sentence : sentence.slice(opening.length)
}

/** What one missing fact means for the lens, as a sentence. */
function missingForLens({ fact, label, wouldChange }: Lens['missing'][number]): string {
  const change = uncapitalised(withoutOpening(wouldChange))
  // That the eye is not stated is said loudly above everything else.
  return asSentence(fact === 'eye' ? change : WORDS.noLensWithout(label, change))
}

/** Why there is no lens power, to follow a label that says that there is none. */
export const whyNoLens = (lens: Lens): string =>
  lens.missing.length > 0
    ? lens.missing.map((one, index) => (index === 0 ? missingForLens(one) : capitalised(missingForLens(one)))).join(' ')
    : asSentence(withoutOpening(lens.noRecommendation ?? WORDS.lensUnknownWhy))

function noLensBlocks(lens: Lens): readonly Block[] {
  const { spread } = lens
  return [
    { kind: 'fact', label: WORDS.noLens, text: capitalised(whyNoLens(lens)), strong: true },
    ...(spread === undefined
      ? []
      : [
          {
            kind: 'line',
            text: asSentence(capitalised(WORDS.formulasAsk(powerRange(spread.lowD, spread.highD)))),
            weight: 'plain',
          } as const,
        ]),
  ]
}

/** What the lens leaves and the row it stands on, with why; the plan names the rows before its reason. */
function leavesInWords(pick: Recommended, spread: Lens['spread']): string {
  const left = refractionRange(pick.leaves.lowD, pick.leaves.highD)
  const standsOn = pick.standsOn.replace(/\.$/, '')
  const awaited = pick.awaitsPrint ? `; ${WORDS.awaitsPrint}` : ''
  if (pick.leavesUnadjusted !== undefined) {
    const unadjusted = refractionRange(pick.leavesUnadjusted.lowD, pick.leavesUnadjusted.highD)
    // Why these rows and not those stands in the lens part, one tap away.
    return asSentence(`${WORDS.leavesBoth(left, unadjusted)}${awaited}`)
  }
  // Where two kinds of rows leave different refractions, that is the disagreement; else it is the span of the powers.
  const apart = spread === undefined ? '' : `; ${WORDS.formulasAsk(powerRange(spread.lowD, spread.highD))}`
  return `${asSentence(`${WORDS.leaves(left)}${apart}`)} ${asSentence(`${WORDS.basis(standsOn)}${awaited}`)}`
}

/** The signed power, what it leaves, how far the formulas are apart; or what is missing for it. */
export function lensBlocks({ lens }: Plan): readonly Block[] {
  const pick = lens.recommended
  if (pick === undefined) return noLensBlocks(lens)
  const supply =
    pick.supply === 'to-order' && pick.orderDays !== undefined ? WORDS.orderDays(pick.orderDays) : WORDS.supply[pick.supply]
  const power = WORDS.lensFor(lensPower(pick.powerD), refraction(lens.target.refractionD))
  return [
    {
      kind: 'fact',
      label: WORDS.lensSupply(supply),
      text: lens.target.stated ? power : `${power} (${WORDS.targetAssumed})`,
      strong: true,
    },
    { kind: 'line', text: capitalised(leavesInWords(pick, lens.spread)), weight: 'plain' },
  ]
}
