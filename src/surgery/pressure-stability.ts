import type { PublishedModel } from '../terms/published-model.js'
import { type Study, sideBySide } from '../terms/study.js'
import type { SurgeryStatement } from '../terms/surgery-statement.js'
import { cmH2O } from '../terms/units.js'
import { mmHgFromCmH2O } from './infusion-pressure.js'

/** What pressure, flow and vacuum were seen to do. Settings of studies, never a preset for a machine. */
export const PRESSURE_STUDIES: readonly Study[] = [
  {
    population: '80 eyes, randomised',
    years: '2014',
    finding:
      'flow 20 mL/min with the bottle at 70–90 cm: pressure up to 69 mmHg; 40 mL/min at 90–110 cm: up to 85, more swelling and inflammation',
    cite: 'Vasavada, randomised trial of flow rate, 2014',
    sureness: 'secondary',
  },
  {
    population: '31 eyes',
    years: '2009',
    finding: 'bottle 30 against 60 cm: fewer cells lost, less corneal swelling; porcine eyes 50–60 mmHg at 65 cm, 20–30 at 19 cm',
    cite: 'Suzuki H, Oki K, Shiwa T, et al. J Cataract Refract Surg 2009;35:2014-2017',
    sureness: 'read',
  },
  {
    population: 'porcine lenses, bench',
    years: '2016',
    finding: '30 to 110 mmHg: fragments removed faster in proportion; chatter fell from 30 to 50 mmHg and was least above',
    cite: 'Laboratory study of pressure and fragment removal. J Cataract Refract Surg 2016;42:768-771',
    sureness: 'read',
  },
  {
    population: '9 eyes',
    years: '2019',
    finding: 'bottle 100 cm: 42 to 63 mmHg at the start of ultrasound, 4 to 63 over the operation',
    cite: 'Hejsek L, Kadlecova J, Sin M, et al. Biomed Pap 2019;163:75-79',
    sureness: 'read',
  },
  {
    population: '51 advanced cataracts, retrospective, conference abstract (weak)',
    years: '2025',
    finding: '30 against 50–60 mmHg: fewer cells lost at the same energy and time',
    cite: 'Abstract PO315, European cataract society meeting 2025',
    sureness: 'read',
  },
  {
    population: 'surgical description',
    years: '2004',
    finding:
      'lowering the bottle alone forces low flow and vacuum and makes the chamber volatile; lift the iris off the capsule instead',
    cite: 'Cionni RJ, Barros MG, Osher RH. J Cataract Refract Surg 2004;30:953-956',
    sureness: 'secondary',
  },
]

const FEWER_CELLS_LOST_AT = cmH2O(30)
const COMPARED_WITH = cmH2O(60)

export const PRESSURE_STABILITY: PublishedModel = {
  id: 'pressure-stability',
  about: 'Pressure against a steady chamber',
  model: 'six observations, side by side',
  population: 'human and porcine eyes of ordinary length; none very long',
  years: '2004–25',
  source: { cite: PRESSURE_STUDIES.map(({ cite }) => cite).join('; '), sureness: 'secondary' },
  coefficients: [
    { name: 'highest pressure, 20 mL/min and 70–90 cm', value: 69, unit: 'mmHg', sureness: 'secondary' },
    { name: 'highest pressure, 40 mL/min and 90–110 cm', value: 85, unit: 'mmHg', sureness: 'secondary' },
    { name: 'chatter least above', value: 50, unit: 'mmHg', sureness: 'read', note: 'porcine, bench' },
    { name: 'bottle with fewer cells lost', value: FEWER_CELLS_LOST_AT, unit: 'cmH2O', sureness: 'read' },
    { name: 'bottle it was compared with', value: COMPARED_WITH, unit: 'cmH2O', sureness: 'read' },
  ],
}

/** The trade between a low pressure and a steady chamber: the same table for every eye, to be weighed by the surgeon. */
export function pressureStabilityFigure(): SurgeryStatement {
  return {
    id: PRESSURE_STABILITY.id,
    about: PRESSURE_STABILITY.about,
    step: 'nucleus',
    source: PRESSURE_STABILITY.source,
    words:
      'Pressure against a steady chamber: low spares cells (bottle 30 against 60 cm, 31 eyes, 2009), but fragments chatter under 50 mmHg (porcine, 2016). Less pressure needs less flow and less vacuum with it; no trial backs a range for long eyes; settings of studies, not a preset',
    values: [
      { name: 'bottle with fewer cells lost (2009)', value: FEWER_CELLS_LOST_AT, unit: 'cmH2O' },
      { name: 'as static pressure', value: mmHgFromCmH2O(FEWER_CELLS_LOST_AT), unit: 'mmHg' },
      { name: 'compared with (2009)', value: COMPARED_WITH, unit: 'cmH2O' },
      { name: 'compared with, as static pressure', value: mmHgFromCmH2O(COMPARED_WITH), unit: 'mmHg' },
      { name: 'chatter least above (porcine, 2016)', value: 50, unit: 'mmHg' },
      { name: 'highest pressure at flow 20 mL/min, bottle 70–90 cm (2014)', value: 69, unit: 'mmHg' },
      { name: 'highest pressure at flow 40 mL/min, bottle 90–110 cm (2014)', value: 85, unit: 'mmHg' },
    ],
    working: sideBySide(PRESSURE_STUDIES, 'none: observations stand side by side', PRESSURE_STABILITY.source),
  }
}
