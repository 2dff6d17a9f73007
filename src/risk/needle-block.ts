import { frequency } from '../terms/frequency.js'
import type { PublishedModel } from '../terms/published-model.js'
import type { RiskStatement } from '../terms/risk-statement.js'
import { firstStatedOutside } from '../terms/stated-domain.js'
import { type Study, sideBySide } from '../terms/study.js'
import { AXIAL_LENGTH_DOMAIN } from './input-domain.js'
import type { RiskInput } from './risk-input.js'
import { refusedStatement, statementOf } from './statement-of.js'

/** Perforations of the globe per block. */
export const PERFORATION = { staphyloma: 1 / 760, longEye: 1 / 140, shorterEye: 1 / 1000 } as const
const LONG_FROM_MM = 26

export const NEEDLE_BLOCK_STUDIES: readonly Study[] = [
  {
    population: '50,000 needle blocks',
    years: '1999',
    finding: '7 perforations, all in eyes with staphyloma: 0.13 % of those, none in over 44,000 others',
    cite: 'Edge R, Navon S. J Cataract Refract Surg 1999;25:1237-1244',
    sureness: 'read',
  },
  {
    population: 'retrobulbar blocks',
    years: '1991',
    finding: 'about 1 in 1,000 under 26 mm, about 1 in 140 in longer eyes',
    cite: 'Duker JS, Belmont JB, Benson WE, et al. Ophthalmology 1991;98:519-526',
    sureness: 'secondary',
  },
  {
    population: '38,058 blocks, UK',
    years: '2001–06',
    finding: 'serious complication 0.066 %; sharp needle 2.5 × sub-Tenon',
    cite: 'El-Hindy N, Johnston RL, Jaycock P, et al. Eye 2009;23:50-55',
    sureness: 'read',
  },
]

export const NEEDLE_BLOCK: PublishedModel = {
  id: 'needle-block-perforation',
  about: 'Perforation by a sharp-needle block',
  model: 'series by length and staphyloma',
  population: '50,000 needle blocks (1999); retrobulbar blocks (1991)',
  years: '1991–2009',
  source: {
    cite: 'Edge R, Navon S. J Cataract Refract Surg 1999;25:1237-1244; Duker JS et al. Ophthalmology 1991;98:519-526',
    year: 1999,
    sureness: 'secondary',
  },
  coefficients: [
    { name: 'perforation, eye with staphyloma', value: PERFORATION.staphyloma, sureness: 'read' },
    { name: 'perforation, 26 mm or more, retrobulbar', value: PERFORATION.longEye, sureness: 'secondary' },
    { name: 'perforation, under 26 mm, retrobulbar', value: PERFORATION.shorterEye, sureness: 'secondary' },
  ],
}

type BlockInput = Pick<RiskInput, 'axialLengthMm' | 'staphyloma' | 'anaesthesia'>

const NONE_WITHOUT = 'none in over 44,000 blocks without staphyloma (1999)'

/** From what the needle series saw in such eyes to what the retrobulbar series saw; staphyloma unseen is not absent. */
function bandOf(long: boolean, staphyloma: BlockInput['staphyloma']) {
  const { staphyloma: withStaphyloma, longEye, shorterEye } = PERFORATION
  const seen = `${frequency(withStaphyloma)} with staphyloma (1999)`
  const longest = `${frequency(longEye)} in longer eyes (retrobulbar, 1991)`
  if (long && staphyloma === 'absent') return { low: 0, high: longEye, words: `${NONE_WITHOUT} to ${longest}` }
  if (long) return { low: withStaphyloma, high: longEye, words: `${seen} to ${longest}` }
  if (staphyloma === 'present') return { low: withStaphyloma, high: withStaphyloma, words: seen }
  const shorter = `${frequency(shorterEye)} under 26 mm (retrobulbar, 1991)`
  if (staphyloma === 'absent') return { low: 0, high: shorterEye, words: `${NONE_WITHOUT} to ${shorter}` }
  return { low: 0, high: withStaphyloma, words: `${NONE_WITHOUT}, ${shorter}, to ${seen}` }
}

const plannedWords = (anaesthesia: BlockInput['anaesthesia']): string => {
  if (anaesthesia === undefined) return '; anaesthesia not stated'
  if (anaesthesia === 'peribulbar' || anaesthesia === 'retrobulbar') return `; ${anaesthesia} is planned`
  return '; no needle block planned'
}

/** What a sharp needle risks in this eye: staphyloma counts most, and unseen is not absent. */
export function needleBlockStatement(input: BlockInput): RiskStatement {
  const outside = firstStatedOutside({ 'axial length': input.axialLengthMm }, { 'axial length': AXIAL_LENGTH_DOMAIN })
  if (outside) return refusedStatement(NEEDLE_BLOCK, outside)
  const { axialLengthMm: length, staphyloma, anaesthesia } = input
  const { shorterEye, longEye } = PERFORATION
  const working = sideBySide(NEEDLE_BLOCK_STUDIES, 'none: series stand side by side', NEEDLE_BLOCK.source)
  const unstated = [
    ...(length === undefined
      ? [
          {
            factor: 'axial length',
            wouldChange: `${frequency(shorterEye)} under 26 mm, ${frequency(longEye)} in longer eyes (retrobulbar, 1991)`,
          },
        ]
      : []),
    ...(staphyloma === undefined
      ? [
          {
            factor: 'staphyloma',
            wouldChange: `${frequency(PERFORATION.staphyloma)} if present; all 7 perforations of 50,000 blocks`,
          },
        ]
      : []),
  ]
  const planned = plannedWords(anaesthesia)
  if (length === undefined && staphyloma !== 'present') {
    return statementOf(NEEDLE_BLOCK, {
      factorsUnstated: unstated,
      words: `Perforation by a sharp-needle block: no figure, axial length not stated; know it before any needle${planned}`,
      working,
    })
  }
  const long = length !== undefined && length >= LONG_FROM_MM
  const band = bandOf(long, staphyloma)
  return statementOf(NEEDLE_BLOCK, {
    band,
    factorsUsed: [
      ...(length === undefined
        ? []
        : [{ factor: 'axial length', level: `${length} mm`, effect: long ? 'long eye' : 'under 26 mm' }]),
      ...(staphyloma === undefined
        ? []
        : [{ factor: 'staphyloma', level: staphyloma, effect: staphyloma === 'present' ? 'decides' : 'none seen' }]),
    ],
    factorsUnstated: unstated,
    words: `Perforation by a sharp-needle block: ${band.words}${staphyloma === undefined ? '; staphyloma not stated' : ''}${planned}`,
    caveats: [
      'Topical, intracameral and sub-Tenon anaesthesia use no sharp needle; sub-Tenon is not free of perforation in thin sclera',
    ],
    working,
  })
}
