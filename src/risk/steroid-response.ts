import type { PublishedModel } from '../terms/published-model.js'
import type { RiskStatement } from '../terms/risk-statement.js'
import { firstStatedOutside } from '../terms/stated-domain.js'
import { AGE_DOMAIN, AXIAL_LENGTH_DOMAIN } from './input-domain.js'
import type { RiskInput } from './risk-input.js'
import { refusedStatement, statementOf } from './statement-of.js'

/** Limits and relative risks as printed. */
export const STEROID_RESPONSE = {
  underYears: 65,
  fromMm: 29,
  over28MmHg: 39,
  over35MmHg: 35,
  responders: 39,
  eyes: 1642,
} as const

export const STEROID_RESPONSE_2011: PublishedModel = {
  id: 'steroid-response-2011',
  about: 'Pressure rise on steroid drops',
  model: '2011 cohort by age and length',
  population: '1,642 eyes after cataract surgery, 39 responders',
  years: '2011',
  source: { cite: 'Chang DF, Tan JJ, Tripodis Y. J Cataract Refract Surg 2011;37:675-681', year: 2011, sureness: 'read' },
  coefficients: [
    { name: 'under', value: STEROID_RESPONSE.underYears, unit: 'years', sureness: 'read' },
    { name: 'axial length from', value: STEROID_RESPONSE.fromMm, unit: 'mm', sureness: 'read' },
    { name: 'relative risk of a pressure over 28 mmHg', value: STEROID_RESPONSE.over28MmHg, sureness: 'read' },
    { name: 'relative risk of a pressure over 35 mmHg', value: STEROID_RESPONSE.over35MmHg, sureness: 'read' },
  ],
}

const CONTRAST = 'against over 65 with a normal length'

/** Whether this eye is in the group with the strong response; a known responder needs no model. */
export function steroidResponseStatement({
  ageYears,
  axialLengthMm,
  steroidResponder,
}: Pick<RiskInput, 'ageYears' | 'axialLengthMm' | 'steroidResponder'>): RiskStatement {
  const outside = firstStatedOutside(
    { age: ageYears, 'axial length': axialLengthMm },
    { age: AGE_DOMAIN, 'axial length': AXIAL_LENGTH_DOMAIN },
  )
  if (outside) return refusedStatement(STEROID_RESPONSE_2011, outside)
  const { underYears, fromMm, over28MmHg, over35MmHg } = STEROID_RESPONSE
  const younger = ageYears === undefined ? undefined : ageYears < underYears
  const long = axialLengthMm === undefined ? undefined : axialLengthMm >= fromMm
  const ruledOut = younger === false || long === false
  const inGroup = younger === true && long === true
  const size = `× ${over28MmHg} for a pressure over 28 mmHg, × ${over35MmHg} over 35 mmHg, ${CONTRAST}`
  const verdict = inGroup
    ? `under 65 and 29 mm or more: ${size}`
    : ruledOut
      ? 'not in the group under 65 with 29 mm or more'
      : 'cannot tell, age or axial length not stated'
  return statementOf(STEROID_RESPONSE_2011, {
    band: { words: steroidResponder === true ? 'known responder' : verdict },
    factorsUsed: [
      ...(ageYears === undefined
        ? []
        : [{ factor: 'age', level: `${ageYears} years`, effect: younger ? 'under 65' : '65 or more' }]),
      ...(axialLengthMm === undefined
        ? []
        : [{ factor: 'axial length', level: `${axialLengthMm} mm`, effect: long ? '29 mm or more' : 'under 29 mm' }]),
      ...(steroidResponder === true ? [{ factor: 'known steroid response', level: 'present', effect: 'decides' }] : []),
    ],
    factorsUnstated: [
      ...(younger === undefined && long !== false ? [{ factor: 'age', wouldChange: `if under 65 in a long eye, ${size}` }] : []),
      ...(long === undefined && younger !== false
        ? [{ factor: 'axial length', wouldChange: `if 29 mm or more under 65, ${size}` }]
        : []),
      ...(steroidResponder === undefined ? [{ factor: 'known steroid response', wouldChange: 'decides if present' }] : []),
    ],
    words: `Pressure rise on steroid drops: ${steroidResponder === true ? 'known responder; ' : ''}${verdict} (1,642 eyes, 2011)`,
    caveats: ['39 responders in all: relative risks of this size have very wide limits'],
  })
}
