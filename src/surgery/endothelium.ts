import { withThousands } from '../terms/frequency.js'
import { computed, firstOutside, type Outcome } from '../terms/outcome.js'
import type { PublishedModel } from '../terms/published-model.js'
import { type Study, sideBySide } from '../terms/study.js'
import type { SurgeryStatement } from '../terms/surgery-statement.js'
import { type CellsPerSquareMillimetre, cellsPerMm2, type Years, years } from '../terms/units.js'
import type { DensityBand, SurgeryInput } from './surgery-input.js'

/** The range that is shown for any technique and grade: a convention drawn over the series. */
export const LOSS_LOW = 0.05
export const LOSS_HIGH = 0.3
/** Loss observed by the density before surgery: mean and standard deviation, fractions (Chen 2021). */
export const LOSS_BY_DENSITY = [
  { mean: 0.199, sd: 0.054, group: 'under 1,000' },
  { mean: 0.289, sd: 0.092, group: '1,000 to 2,000' },
  { mean: 0.15, sd: 0.12, group: 'over 2,000' },
] as const
/** Fraction lost a year: in a normal eye (Bourne 1997), and for a decade after surgery (Bourne 1994). */
export const NORMAL_YEARLY_LOSS = 0.006
export const YEARLY_LOSS_AFTER_SURGERY = 0.025

export const ENDOTHELIUM_STUDIES: readonly Study[] = [
  {
    population: '353 patients',
    years: '2021',
    finding: 'lost 19.9 % (SD 5.4) under 1,000, 28.9 % (9.2) at 1,000 to 2,000, 15.0 % (12.0) over 2,000 cells/mm²',
    cite: 'Chen HC, Huang CW, Yeh LK, et al. J Clin Med 2021;10:2270',
    sureness: 'read',
  },
  {
    population: '89 hard nuclei, one expert, eight-segment chop',
    years: '2025',
    finding: 'lost 0.2 % at Emery IV, 6.8 % at IV+, 9.6 % at V',
    cite: 'Sato T. J Clin Med 2025;14:2576',
    sureness: 'read',
  },
  {
    population: 'grade 4 nuclei, randomised',
    years: '2013',
    finding: 'chop lost fewer cells than divide and conquer or stop and chop; no difference in softer grades',
    cite: 'Park J, Yum HR, Kim MS, et al. J Cataract Refract Surg 2013;39:1463-1469',
    sureness: 'read',
  },
  {
    population: '60 eyes, randomised',
    years: '2008',
    finding: 'chop used less power, cell loss alike',
    cite: 'Storr-Paulsen A, Norregaard JC, Ahmed S, et al. J Cataract Refract Surg 2008;34:996-1000',
    sureness: 'read',
  },
  {
    population: '200 eyes, randomised',
    years: '2010',
    finding: 'ultrasound and manual extraction alike: 18.4 and 17.7 %',
    cite: 'Gogate P, Ambardekar P, Kulkarni S, et al. J Cataract Refract Surg 2010;36:247-253',
    sureness: 'derived',
  },
  {
    population: '61 eyes under 1,000 cells/mm²',
    years: '2011',
    finding: 'lost 11.5 % (SD 23.4); bullous keratopathy in 9',
    cite: 'Yamazoe K, Yamaguchi T, Hotta K, et al. J Cataract Refract Surg 2011;37:2043-2047',
    sureness: 'read',
  },
]

export const ENDOTHELIUM: PublishedModel = {
  id: 'endothelium-forecast',
  about: 'Endothelial cells after surgery',
  model: 'range over six series',
  population: 'ordinary and low counts; none of the series in very long eyes',
  years: '1997–2025',
  source: {
    cite: 'Chen HC et al. 2021; Sato T 2025; Park J et al. 2013; Storr-Paulsen A et al. 2008; Gogate P et al. 2010; Yamazoe K et al. 2011; Bourne WM, Nelson LR, Hodge DO. Invest Ophthalmol Vis Sci 1997;38:779-782. The range drawn over them and the limits are a convention',
    sureness: 'convention',
  },
  coefficients: [
    { name: 'least loss shown', value: LOSS_LOW, sureness: 'convention' },
    { name: 'greatest loss shown', value: LOSS_HIGH, sureness: 'convention' },
    ...LOSS_BY_DENSITY.flatMap(({ group, mean, sd }) => [
      { name: `mean loss, ${group} cells/mm²`, value: mean, sureness: 'read' as const },
      { name: `SD of the loss, ${group} cells/mm²`, value: sd, sureness: 'read' as const },
    ]),
    { name: 'loss a year, normal eye', value: NORMAL_YEARLY_LOSS, sureness: 'read', note: 'SD 0.5 %; 42 adults over 10.6 years' },
    {
      name: 'loss a year, after surgery',
      value: YEARLY_LOSS_AFTER_SURGERY,
      sureness: 'read',
      note: 'Bourne WM, Nelson LR, Hodge DO. Ophthalmology 1994;101:1014-1022 (abstract): median of 67 eyes seen at ten years; 7.2 % in six with cornea guttata',
    },
    { name: 'low under', value: 2000, unit: 'cells/mm²', sureness: 'convention' },
    { name: 'corneal opinion under', value: 1000, unit: 'cells/mm²', sureness: 'convention' },
    { name: 'decompensation likely under', value: 500, unit: 'cells/mm²', sureness: 'convention', note: 'textbooks: 400 to 700' },
  ],
}

const DENSITY = { 'endothelial cell density': { low: 100, high: 5000, unit: 'cells/mm²' } }

const lossGroup = (density: CellsPerSquareMillimetre) => {
  if (density < 1000) return LOSS_BY_DENSITY[0]
  return density <= 2000 ? LOSS_BY_DENSITY[1] : LOSS_BY_DENSITY[2]
}

export interface EndotheliumForecast {
  /** By the range of 5 to 30 % loss. */
  readonly low: CellsPerSquareMillimetre
  readonly high: CellsPerSquareMillimetre
  /** By the series of this density group: at its mean loss, and at one standard deviation more. */
  readonly groupMean: CellsPerSquareMillimetre
  readonly groupWorse: CellsPerSquareMillimetre
  readonly group: string
}

/**
 * Cells left after surgery, as a range: density × (1 − loss), for a loss of 5 to 30 %, and by the loss that one series
 * saw in eyes of this density.
 * @param density before surgery, 100–5,000 cells/mm²
 */
export function endotheliumForecast(density: CellsPerSquareMillimetre): Outcome<EndotheliumForecast> {
  const outside = firstOutside({ 'endothelial cell density': density }, DENSITY)
  if (outside) return outside
  const { mean, sd, group } = lossGroup(density)
  return computed({
    low: cellsPerMm2(density * (1 - LOSS_HIGH)),
    high: cellsPerMm2(density * (1 - LOSS_LOW)),
    groupMean: cellsPerMm2(density * (1 - mean)),
    groupWorse: cellsPerMm2(density * (1 - mean - sd)),
    group,
  })
}

/**
 * Cells after so many years at a constant yearly loss: density × e^(−loss × years).
 * @param density 100–5,000 cells/mm²
 * @param over 0–80 years
 * @param yearlyLoss fraction lost a year: 0.006 in a normal eye, about 0.025 after cataract surgery
 */
export function cellsAfterYears(
  density: CellsPerSquareMillimetre,
  over: Years,
  yearlyLoss = NORMAL_YEARLY_LOSS,
): Outcome<CellsPerSquareMillimetre> {
  const outside = firstOutside(
    { 'endothelial cell density': density, time: over, 'yearly loss': yearlyLoss },
    { ...DENSITY, time: { low: 0, high: 80, unit: 'years' }, 'yearly loss': { low: 0, high: 0.2, unit: 'per year' } },
  )
  return outside ?? computed(cellsPerMm2(density * Math.exp(-yearlyLoss * over)))
}

export type EndotheliumLevel = 'no limit reached' | 'low' | 'corneal opinion first' | 'decompensation likely'

/** What a cell count means before surgery, by this project's convention. */
export function endotheliumLevel(density: CellsPerSquareMillimetre): EndotheliumLevel {
  if (density < 500) return 'decompensation likely'
  if (density < 1000) return 'corneal opinion first'
  return density < 2000 ? 'low' : 'no limit reached'
}

const HARD: ReadonlySet<DensityBand> = new Set(['hard', 'very-hard', 'black'])

/** Two significant figures: a count is not known better. */
const cells = (value: number): string => withThousands(Number(value.toPrecision(2)))

/** The range of cells left after surgery, the limit it may cross, and which way grade and technique push it. */
export function endotheliumFigure({ endothelialCellDensityPerMm2, nucleusBand, technique }: SurgeryInput): SurgeryStatement {
  const base = { id: ENDOTHELIUM.id, about: ENDOTHELIUM.about, step: 'assessment', source: ENDOTHELIUM.source } as const
  const hard = nucleusBand !== undefined && HARD.has(nucleusBand)
  if (endothelialCellDensityPerMm2 === undefined) {
    return {
      ...base,
      words: `Endothelial cells after surgery: count not stated${hard ? '; measure it, this nucleus costs most cells' : ''}`,
      values: [],
    }
  }
  const before = cellsPerMm2(endothelialCellDensityPerMm2)
  const outcome = endotheliumForecast(before)
  if (outcome.kind === 'outside-domain') {
    return { ...base, words: `Endothelial cells: ${outcome.reason}`, values: [], outOfRange: outcome.reason }
  }
  const { low, high, groupMean, groupWorse, group } = outcome.value
  const worst = cellsPerMm2(Math.min(low, groupWorse))
  const level = endotheliumLevel(before)
  const later = cellsAfterYears(groupMean, years(10), YEARLY_LOSS_AFTER_SURGERY)
  const push = hard
    ? `; hard nucleus: towards the lower end${technique === 'chop' ? ', chop spares cells in one trial of three' : ''}`
    : nucleusBand === undefined
      ? '; density of the nucleus not stated'
      : ''
  const now = level === 'no limit reached' ? '' : `; count before surgery: ${level}`
  const mayCross =
    worst < 1000 && before >= 1000 ? '; may fall under 1,000' : worst < 500 && before >= 500 ? '; may fall under 500' : ''
  return {
    ...base,
    words: `Endothelial cells ${withThousands(Math.round(before))}: ${cells(low)} to ${cells(high)} after surgery (5 to 30 % loss); eyes of ${group} lost enough to leave ${cells(groupMean)}, one SD worse ${cells(groupWorse)} (353 patients, 2021)${push}${now}${mayCross}`,
    values: [
      { name: 'before surgery', value: before, unit: 'cells/mm²' },
      { name: 'after surgery, low', value: low, unit: 'cells/mm²' },
      { name: 'after surgery, high', value: high, unit: 'cells/mm²' },
      { name: 'after the mean loss of this group', value: groupMean, unit: 'cells/mm²' },
      { name: 'after that loss and one SD more', value: groupWorse, unit: 'cells/mm²' },
      ...(later.kind === 'computed' ? [{ name: 'ten years later, 2.5 % a year', value: later.value, unit: 'cells/mm²' }] : []),
    ],
    working: sideBySide(
      ENDOTHELIUM_STUDIES,
      'cells after = cells before × (1 − loss); ten years: × e^(−0.025 × 10)',
      ENDOTHELIUM.source,
    ),
  }
}
