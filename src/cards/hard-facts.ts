import type { Plan } from '../plan/plan.js'
import { nucleusInWords, spoken } from './case-words.js'
import { withThousands } from './figures.js'
import { WORDS } from './words-en.js'
import { HARD_FACT_WORDS } from './words-hard-facts-en.js'

type Case = Plan['case']

/**
 * Where a value becomes one of the facts that mark an eye out on the first screen. A choice of what to show first,
 * a convention of this project; what follows clinically is said by the precautions, each with its source.
 */
const SHOWN_BEYOND = {
  shortMm: 22,
  longMm: 26,
  flatD: 40,
  steepD: 47,
  shallowChamberMm: 2.5,
  cellsPerMm2: 2500,
  pupilMm: 5,
  pressureMmHg: 21,
  thickCorneaUm: 600,
} as const

const HARD_BANDS = new Set<string>(['hard', 'very-hard', 'black'])

/** "AL 29.60 mm, optical through a very hard lens: in doubt"; the doubt is asked about among the questions. */
function axialLength(plan: Plan): readonly string[] {
  const length = plan.case.axialLengthMm
  if (length === undefined) return []
  const inDoubt = plan.gaps.some((gap) => gap.fact === 'axialLengthMm' && gap.state === 'doubtful')
  const outstanding = length.value >= SHOWN_BEYOND.longMm || length.value <= SHOWN_BEYOND.shortMm
  if (!outstanding && !inDoubt) return []
  const method = plan.case.axialLengthMethod?.value
  const band = plan.case.nucleus?.value.band
  const optical = method === 'optical' || method === 'optical-segments'
  const lens = optical && band !== undefined && HARD_BANDS.has(band) ? ` ${WORDS.lensThrough(lensColour(plan.case))}` : ''
  const how = method === undefined ? '' : `, ${spoken(method)}${lens}`
  const doubt = inDoubt ? `: ${WORDS.doubted}` : lens === '' ? '' : `: ${WORDS.confirmLength}`
  return [`${HARD_FACT_WORDS.length(length.value.toFixed(2))}${how}${doubt}`]
}

/** The grade of a hard nucleus, without its colour or band where the line of the axial length has said it. */
function nucleus(facts: Case, said: string): readonly string[] {
  const given = facts.nucleus?.value
  if (given === undefined || !HARD_BANDS.has(given.band)) return []
  if (given.scale === 'colour' && said.includes(String(given.grade))) return []
  const words = nucleusInWords(given)
  const band = ` (${spoken(given.band)})`
  return [said.includes(spoken(given.band)) && words.endsWith(band) ? words.slice(0, -band.length) : words]
}

/** The colour as given, else the band. */
function lensColour(facts: Case): string {
  const nucleus = facts.nucleus?.value
  if (nucleus === undefined) return ''
  return nucleus.scale === 'colour' ? String(nucleus.grade) : spoken(nucleus.band)
}

function fundus(facts: Case): readonly string[] {
  const view = facts.fundusView?.value
  const scan = facts.bScan?.value
  const flat = scan === 'flat' ? WORDS.bScanFlat : scan === undefined ? WORDS.bScanNotStated : WORDS.bScan(spoken(scan))
  if (view === 'none' || view === 'partial')
    return [`${view === 'none' ? WORDS.noFundalView : WORDS.partialFundalView} (${flat})`]
  return scan === 'detached' || scan === 'other-finding' ? [flat] : []
}

const below = (value: number | undefined, limit: number): value is number => value !== undefined && value < limit

/** What makes this eye hard, as facts with method and doubt; only what was stated. */
export function hardFacts(plan: Plan): readonly string[] {
  const facts = plan.case
  const mean = facts.keratometry?.value.meanD
  const depth = facts.anteriorChamberDepthMm?.value
  const pupil = facts.pupilDilatedMm?.value
  const thickness = facts.centralCornealThicknessUm?.value
  const hoursLost = facts.zonularLossClockHours?.value ?? 0
  const pressure = facts.intraocularPressureMmHg?.value
  const length = axialLength(plan)
  const cells = facts.endothelialCellDensityPerMm2?.value
  const when = (stated: boolean | undefined, words: string): readonly string[] => (stated === true ? [words] : [])
  return [
    ...when(facts.onlyEye?.value, HARD_FACT_WORDS.onlyEye),
    ...length,
    ...(mean !== undefined && (mean < SHOWN_BEYOND.flatD || mean > SHOWN_BEYOND.steepD)
      ? [HARD_FACT_WORDS.meanKeratometry(mean.toFixed(2))]
      : []),
    ...nucleus(facts, length.join('')),
    ...(pressure !== undefined && pressure > SHOWN_BEYOND.pressureMmHg ? [HARD_FACT_WORDS.pressure(String(pressure))] : []),
    ...when(facts.phakicLens?.value, HARD_FACT_WORDS.phakicLens),
    ...when(facts.keratoconus?.value, HARD_FACT_WORDS.keratoconus),
    ...when(facts.contactLenses && facts.contactLenses.value !== 'none', HARD_FACT_WORDS.contactLenses),
    ...when(facts.whiteCataract?.value, HARD_FACT_WORDS.whiteCataract),
    ...when(facts.posteriorPolarCataract?.value, HARD_FACT_WORDS.posteriorPolar),
    ...fundus(facts),
    ...when(facts.staphyloma && facts.staphyloma.value === 'present', HARD_FACT_WORDS.staphyloma),
    ...(below(cells, SHOWN_BEYOND.cellsPerMm2) ? [HARD_FACT_WORDS.cells(withThousands(cells))] : []),
    ...(below(depth, SHOWN_BEYOND.shallowChamberMm) ? [HARD_FACT_WORDS.chamber(depth.toFixed(2))] : []),
    ...(below(pupil, SHOWN_BEYOND.pupilMm) ? [HARD_FACT_WORDS.pupil(pupil.toFixed(1))] : []),
    ...(facts.zonules !== undefined && facts.zonules.value !== 'normal'
      ? [HARD_FACT_WORDS.zonules(spoken(facts.zonules.value))]
      : []),
    ...(hoursLost > 0 ? [HARD_FACT_WORDS.zonulesLost(String(hoursLost))] : []),
    ...when(facts.pseudoexfoliation?.value, HARD_FACT_WORDS.pseudoexfoliation),
    ...when(facts.uveitis?.value, HARD_FACT_WORDS.uveitis),
    ...when(facts.posteriorSynechiae?.value, HARD_FACT_WORDS.synechiae),
    ...when(facts.fuchsDystrophy?.value, HARD_FACT_WORDS.fuchs),
    ...(thickness !== undefined && thickness > SHOWN_BEYOND.thickCorneaUm
      ? [HARD_FACT_WORDS.thickCornea(String(thickness))]
      : []),
    ...when(facts.alphaBlocker && facts.alphaBlocker.value !== 'never', HARD_FACT_WORDS.alphaBlocker),
    ...when(facts.previousVitrectomy?.value, HARD_FACT_WORDS.vitrectomy),
    ...when(facts.siliconeOil?.value, HARD_FACT_WORDS.siliconeOil),
    ...when(facts.previousRefractiveSurgery?.value, HARD_FACT_WORDS.refractiveSurgery),
    ...when(facts.canLieFlat && !facts.canLieFlat.value, HARD_FACT_WORDS.cannotLieFlat),
  ]
}
