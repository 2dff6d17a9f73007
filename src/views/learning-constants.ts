import type { Block } from '../cards/card.js'
import { LEAST_POWER_D, type LensGroup, LONG_FROM_MM } from '../learning/eyes-for-constants.js'
import { FEWEST_FOR_THREE_CONSTANTS, type HaigisProposal } from '../learning/haigis-constants.js'
import type { Learning } from '../learning/learning.js'
import { type ConstantProposal, FEWEST_FOR_ONE_CONSTANT } from '../learning/single-constant.js'
import type { Estimate } from '../learning/statistics.js'
import { FORMULA_NAMES } from '../terms/formulas.js'
import { signed } from '../terms/power.js'

const line = (text: string, weight: 'plain' | 'strong' | 'quiet' = 'plain'): Block => ({ kind: 'line', text, weight })

const KIND_WORDS: Readonly<Record<LensGroup['lengthKind'], string>> = {
  'group-index': 'optical length',
  'sum-of-segments': 'optical sum-of-segments length',
  ultrasound: 'ultrasound length',
}

/** A constant may be negative: its sign is kept, and a positive one is written plain as on a lens list. */
const plain = (value: number, decimals: number): string => (value < 0 ? signed(value, decimals) : value.toFixed(decimals))
const decimalsOf = ({ constant }: ConstantProposal): number => (constant === 'A' ? 2 : 3)
const estimate = ({ value, low, high }: Estimate, decimals: number): string =>
  `${plain(value, decimals)} (${plain(low, decimals)} to ${plain(high, decimals)})`

const leftOutWords = (reasons: ConstantProposal['leftOut']): string =>
  reasons.length === 0 ? '' : `; left out ${reasons.map(({ because, eyes }) => `${eyes} (${because})`).join(', ')}`

/** Proposals for each lens, with what they stand on or why there is none. */
export function constantBlocks({ constants, haigis }: Learning): readonly Block[] {
  if (constants.length === 0) return [line('No eye yet with a named lens, its power and a refraction at four to six weeks.')]
  const groups = haigis.map((three) => ({
    three,
    single: constants.filter((one) => one.lensLabel === three.lensLabel && one.lengthKind === three.lengthKind),
  }))
  return [
    line('Proposals to consider. None is applied: a person enters a constant in the lens list, or does not.', 'strong'),
    ...groups.flatMap(({ three, single }) => groupBlocks(three, single)),
    line(
      `One constant: the value at which the mean error is zero, iterated (Retzlaff JA et al. J Cataract Refract Surg 1990;16:333-340; Gatinel D et al. Transl Vis Sci Technol 2023;12(11):11). Left out: lenses under ${LEAST_POWER_D} D plus or minus (Preussner P-R. J Cataract Refract Surg 2010;36:531-532) and eyes over ${LONG_FROM_MM} mm without the 2011 length adjustment (Wang L et al. J Cataract Refract Surg 2011;37:2018-2027; its coefficients await a check in print). At least ${FEWEST_FOR_ONE_CONSTANT} eyes (common practice, no source), ${FEWEST_FOR_THREE_CONSTANTS} for three (number from memory). A constant that zeroes the mean tilts the error against axial length: look at the plot again after a change.`,
      'quiet',
    ),
  ]
}

function groupBlocks(three: HaigisProposal, single: readonly ConstantProposal[]): readonly Block[] {
  const proposed = single.filter((one) => one.proposed)
  const refused = single.filter((one) => one.refused !== undefined)
  return [
    ...(proposed.length === 0
      ? [line(`${three.lensLabel}, ${KIND_WORDS[three.lengthKind]}`, 'strong')]
      : [
          {
            kind: 'table',
            caption: `${three.lensLabel}, ${KIND_WORDS[three.lengthKind]}`,
            columns: ['Formula and constant now', 'Would zero the mean error', 'Mean error now', 'Eyes'],
            rows: proposed.map(proposedRow),
          } as const,
        ]),
    ...(refused.length === 0
      ? []
      : [
          {
            kind: 'list',
            items: refused.map(
              (one) => `${FORMULA_NAMES[one.formula]} ${one.constant}: no proposal, ${one.refused}${leftOutWords(one.leftOut)}`,
            ),
          } as const,
        ]),
    line(haigisWords(three)),
  ]
}

function proposedRow(one: ConstantProposal): readonly string[] {
  const { proposed, present } = one
  const decimals = decimalsOf(one)
  return [
    `${FORMULA_NAMES[one.formula]} ${one.constant} ${present === undefined ? 'not known' : plain(present, decimals)}${one.converted === true ? ', converted from A' : ''}`,
    proposed === undefined ? '' : estimate(proposed, decimals),
    proposed === undefined
      ? ''
      : `${signed(proposed.meanErrorBeforeD, 2)} D, ${proposed.differs ? 'differs from zero' : 'not beyond chance'}`,
    `${one.eyes}${one.longEyes > 0 ? `, of them ${one.longEyes} by an adjusted length` : ''}${leftOutWords(one.leftOut)}`,
  ]
}

function haigisWords({ eyes, proposed, refused, leftOut }: HaigisProposal): string {
  const left = leftOutWords(leftOut)
  if (!proposed) return `Haigis, three constants: no proposal, ${refused}${left}.`
  const { a0, a1, a2, meanErrorAfterD } = proposed
  return `Haigis, three constants from ${eyes} eyes${left}: a0 ${estimate(a0, 3)}, a1 ${estimate(a1, 3)}, a2 ${estimate(a2, 3)}; the mean error would be ${signed(meanErrorAfterD, 2)} D.`
}
