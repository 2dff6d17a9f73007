import type { OutsideDomain } from '../terms/outcome.js'
import { firstStatedOutside } from '../terms/stated-domain.js'
import { AGE_DOMAIN, AXIAL_LENGTH_DOMAIN, CHAMBER_DEPTH_DOMAIN, PUPIL_DOMAIN, REFRACTION_DOMAIN } from './input-domain.js'
import type { RiskInput } from './risk-input.js'

/** Above this length a lens-free guess at high myopia is made in surveys; stands in for a refraction nobody stated. */
export const HIGH_MYOPIA_SURROGATE_MM = 26.5

/** One item of an integer score: there, not there, or unknown. */
export interface ScoreItem {
  readonly present: boolean | undefined
  /** How it was read, as a reader sees it. */
  readonly level: string
  readonly note?: string
}

export type ScoreItemName =
  | 'previous vitrectomy'
  | 'corneal scar'
  | 'pupil under 3 mm'
  | 'anterior chamber under 2.5 mm'
  | 'age over 88'
  | 'ametropia over 6 D'
  | 'posterior capsule plaque'
  | 'posterior polar cataract'
  | 'poor access'
  | 'dense, white or brunescent lens'
  | 'pseudoexfoliation'
  | 'phacodonesis'
  | 'only eye'
  | 'alpha blocker'

export interface ScoreReading {
  readonly score: number
  /** Most that the unstated items could add, points. */
  readonly couldAdd: number
  readonly used: readonly { readonly item: string; readonly level: string; readonly points: number; readonly note?: string }[]
  readonly unstated: readonly { readonly item: string; readonly points: number }[]
}

const yes = (present: boolean | undefined): ScoreItem => ({ present, level: present ? 'present' : 'absent' })
const measured = (value: number | undefined, unit: string, present: (value: number) => boolean): ScoreItem =>
  value === undefined ? { present: undefined, level: '' } : { present: present(value), level: `${value} ${unit}` }

/**
 * High ametropia from the refraction. A dense nucleus adds index myopia; where no refraction is stated, an axial length
 * above 26.5 mm stands for it, and that is said. A shorter eye without refraction leaves the item unknown.
 */
function ametropia({ refractionD, axialLengthMm }: RiskInput): ScoreItem {
  if (refractionD !== undefined) return measured(refractionD, 'D', (value) => Math.abs(value) > 6)
  if (axialLengthMm !== undefined && axialLengthMm > HIGH_MYOPIA_SURROGATE_MM) {
    return {
      present: true,
      level: `inferred from an axial length of ${axialLengthMm} mm`,
      note: 'No refraction stated: ametropia over 6 D inferred from an axial length over 26.5 mm',
    }
  }
  return { present: undefined, level: '' }
}

/** The items of both integer scores, read from the stated facts. Age 90 stands for 90 or more. */
export function scoreItems(input: RiskInput): Readonly<Record<ScoreItemName, ScoreItem>> {
  return {
    'previous vitrectomy': yes(input.previousVitrectomy),
    'corneal scar': yes(input.cornealScar),
    'pupil under 3 mm': measured(input.pupilDilatedMm, 'mm', (value) => value < 3),
    'anterior chamber under 2.5 mm': measured(input.anteriorChamberDepthMm, 'mm', (value) => value < 2.5),
    'age over 88': measured(input.ageYears, 'years', (value) => value > 88),
    'ametropia over 6 D': ametropia(input),
    'posterior capsule plaque': yes(input.posteriorCapsulePlaque),
    'posterior polar cataract': yes(input.posteriorPolarCataract),
    'poor access': yes(input.poorAccess),
    'dense, white or brunescent lens': yes(input.denseOrWhite),
    pseudoexfoliation: yes(input.pseudoexfoliation),
    phacodonesis: yes(input.phacodonesis),
    'only eye': yes(input.onlyEye),
    'alpha blocker': yes(input.alphaBlocker === undefined ? undefined : input.alphaBlocker !== 'never'),
  }
}

/** The first stated reading that is not plausible; undefined when all are. */
export function outsideScoreDomain(input: RiskInput): OutsideDomain | undefined {
  return firstStatedOutside(
    {
      age: input.ageYears,
      'axial length': input.axialLengthMm,
      'anterior chamber depth': input.anteriorChamberDepthMm,
      'dilated pupil': input.pupilDilatedMm,
      refraction: input.refractionD,
    },
    {
      age: AGE_DOMAIN,
      'axial length': AXIAL_LENGTH_DOMAIN,
      'anterior chamber depth': CHAMBER_DEPTH_DOMAIN,
      'dilated pupil': PUPIL_DOMAIN,
      refraction: REFRACTION_DOMAIN,
    },
  )
}

/**
 * Adds up one score's points.
 * @param items every item as read
 * @param points what this score gives for each of its items
 */
export function scoreOf<Name extends ScoreItemName>(
  items: Readonly<Record<ScoreItemName, ScoreItem>>,
  points: Readonly<Record<Name, number>>,
): ScoreReading {
  const used: { item: string; level: string; points: number; note?: string }[] = []
  const unstated: { item: string; points: number }[] = []
  for (const item of Object.keys(points) as Name[]) {
    const { present, level, note } = items[item]
    if (present === undefined) unstated.push({ item, points: points[item] })
    else used.push({ item, level, points: present ? points[item] : 0, ...(note === undefined ? {} : { note }) })
  }
  const sum = (list: readonly { readonly points: number }[]) => list.reduce((total, entry) => total + entry.points, 0)
  return { score: sum(used), couldAdd: sum(unstated), used, unstated }
}
