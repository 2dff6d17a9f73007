import { computed, firstOutside, type Outcome } from '../terms/outcome.js'
import type { PublishedModel } from '../terms/published-model.js'
import type { SurgeryStatement } from '../terms/surgery-statement.js'
import { type CentimetresOfWater, cmH2O, type MillimetresOfMercury, mmHg } from '../terms/units.js'
import type { SurgeryInput } from './surgery-input.js'

/** Water of 1 g/cm³ and mercury of 13.5951 g/cm³ under standard gravity 9.80665 m/s²: the conventional columns. */
const PASCALS_PER_CMH2O = 98.0665
const PASCALS_PER_MMHG = 133.322387415
/** 0.735559. Balanced salt solution is within 1 % of that water. */
export const MMHG_PER_CMH2O = PASCALS_PER_CMH2O / PASCALS_PER_MMHG

/** Limits between the pressures called low, middle and high: a convention of this project, no trial backs any range. */
export const LOW_BELOW_MMHG = 45
export const HIGH_ABOVE_MMHG = 65

export const INFUSION_PRESSURE: PublishedModel = {
  id: 'infusion-pressure',
  about: 'Infusion pressure',
  model: 'hydrostatic pressure of the bottle',
  population: 'physics; measured against 31 eyes and porcine eyes',
  years: '2008–19',
  source: {
    cite: 'Thompson A, Taylor BN. NIST Special Publication 811 (2008), appendix B; measured: Suzuki H et al. J Cataract Refract Surg 2009;35:2014-2017; Hejsek L et al. Biomed Pap 2019;163:75-79',
    year: 2008,
    sureness: 'secondary',
  },
  coefficients: [
    { name: 'pascals in a conventional centimetre of water', value: PASCALS_PER_CMH2O, unit: 'Pa', sureness: 'secondary' },
    { name: 'pascals in a conventional millimetre of mercury', value: PASCALS_PER_MMHG, unit: 'Pa', sureness: 'secondary' },
    { name: 'called low below', value: LOW_BELOW_MMHG, unit: 'mmHg', sureness: 'convention' },
    { name: 'called high above', value: HIGH_ABOVE_MMHG, unit: 'mmHg', sureness: 'convention' },
  ],
}

/** Pressure of a column of water, exact. Any height; negative is suction. */
export const mmHgFromCmH2O = (height: CentimetresOfWater): MillimetresOfMercury => mmHg(height * MMHG_PER_CMH2O)

/** The column of water that a pressure holds up, exact. */
export const cmH2OFromMmHg = (pressure: MillimetresOfMercury): CentimetresOfWater => cmH2O(pressure / MMHG_PER_CMH2O)

/**
 * Static pressure in the eye from a bottle fed by gravity, no flow. Flow and vacuum then lower it; measured values stood
 * 2 to 16 mmHg above it in porcine eyes (Suzuki 2009).
 * @param height drip chamber above the eye, 0–200 cm of water
 */
export function staticInfusionPressure(height: CentimetresOfWater): Outcome<MillimetresOfMercury> {
  const domain = { 'bottle height': { low: 0, high: 200, unit: 'cm' } }
  return firstOutside({ 'bottle height': height }, domain) ?? computed(mmHgFromCmH2O(height))
}

/** Low, middle or high by this project's convention. */
export function pressureBand(pressure: MillimetresOfMercury): 'low' | 'middle' | 'high' {
  if (pressure < LOW_BELOW_MMHG) return 'low'
  return pressure > HIGH_ABOVE_MMHG ? 'high' : 'middle'
}

const round = (value: number): number => Math.round(value)

const figure = (words: string, values: SurgeryStatement['values'], rest: Partial<SurgeryStatement> = {}): SurgeryStatement => ({
  id: INFUSION_PRESSURE.id,
  about: INFUSION_PRESSURE.about,
  step: 'nucleus',
  words,
  values,
  source: INFUSION_PRESSURE.source,
  ...rest,
})

const inBoth = (pressure: MillimetresOfMercury): string => `${round(pressure)} mmHg (${round(cmH2OFromMmHg(pressure))} cmH2O)`

const stated = (pressure: MillimetresOfMercury, how: string): SurgeryStatement =>
  figure(`Infusion ${inBoth(pressure)}, ${how}; ${pressureBand(pressure)} by convention`, [
    { name: 'infusion pressure', value: pressure, unit: 'mmHg' },
    { name: 'as a column of water', value: cmH2OFromMmHg(pressure), unit: 'cmH2O' },
  ])

/**
 * The infusion pressure as planned, in both units. With active infusion the height of the bottle means nothing and is
 * not used; when nobody said which it is, that is asked.
 */
export function infusionPressureFigure(input: SurgeryInput): SurgeryStatement {
  const { activeInfusion, bottleHeightCm, infusionPressureMmHg } = input
  const outside =
    infusionPressureMmHg === undefined
      ? undefined
      : firstOutside({ 'infusion pressure': infusionPressureMmHg }, { 'infusion pressure': { low: 0, high: 120, unit: 'mmHg' } })
  if (outside) return figure(`Infusion pressure: ${outside.reason}`, [], { outOfRange: outside.reason })
  if (infusionPressureMmHg !== undefined) return stated(mmHg(infusionPressureMmHg), 'as set')
  if (activeInfusion === true) {
    const unused = bottleHeightCm === undefined ? '' : ` the bottle height of ${bottleHeightCm} cm means nothing here;`
    return figure(`Infusion is actively pressurised:${unused} state the pressure in mmHg`, [])
  }
  if (bottleHeightCm === undefined) {
    return figure('Infusion pressure: not stated. Ask: bottle by gravity (height in cm) or active infusion (mmHg)?', [])
  }

  const outcome = staticInfusionPressure(cmH2O(bottleHeightCm))
  if (outcome.kind === 'outside-domain') return figure(`Infusion pressure: ${outcome.reason}`, [], { outOfRange: outcome.reason })
  const pressure = outcome.value
  const ask =
    activeInfusion === undefined ? '. Ask: gravity or active infusion? With active infusion the height means nothing' : ''
  return figure(
    `Bottle ${bottleHeightCm} cm: about ${round(pressure)} mmHg static, no flow (measured 2 to 16 mmHg more in porcine eyes); ${pressureBand(pressure)} by convention${ask}`,
    [
      { name: 'bottle height', value: bottleHeightCm, unit: 'cmH2O' },
      { name: 'static infusion pressure', value: pressure, unit: 'mmHg' },
    ],
    {
      working: {
        inputs: [{ name: 'bottle height', value: bottleHeightCm, unit: 'cm' }],
        steps: [
          { name: 'mmHg in a centimetre of water', value: MMHG_PER_CMH2O },
          { name: 'static pressure', value: pressure, unit: 'mmHg' },
        ],
        equation: 'pressure = height × 98.0665 Pa / 133.3224 Pa',
        source: INFUSION_PRESSURE.source,
      },
    },
  )
}
