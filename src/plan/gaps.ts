import type { Case } from '../case/case.js'
import { FACTS, type FactName } from '../precautions/facts.js'
import type { Gap, Plan, Precaution } from './plan.js'

/** What closes a gap, as a task that can be given to somebody. */
const TASKS: Readonly<Partial<Record<FactName, string>>> = {
  axialLengthMm: 'measure the axial length',
  axialLengthMethod: 'look up how the length was measured',
  bScan: 'B-scan',
  staphyloma: 'B-scan for staphyloma',
  endothelialCellDensityPerMm2: 'cell count',
  macularOct: 'macular OCT, or state that it is not possible',
  macula: 'macular OCT',
  periphery: 'dilated examination of the periphery',
  fundusView: 'look at the fundus',
  pupilDilatedMm: 'measure the dilated pupil',
  zonules: 'look for phacodonesis',
  pseudoexfoliation: 'look for pseudoexfoliation at the slit lamp',
  alphaBlocker: 'ask about tamsulosin and other alpha blockers, past use included',
  anticoagulant: 'ask about anticoagulants',
  anteriorChamberDepthMm: 'measure the chamber depth',
  centralCornealThicknessUm: 'pachymetry',
  intraocularPressureMmHg: 'measure the pressure',
  surgeonGrade: 'say who operates',
  targetRefractionD: 'ask the patient what refraction is wanted',
  fellowRefractionD: 'refract the fellow eye',
  keratometryDifferenceD: 'measure the fellow eye',
  axialLengthDifferenceMm: 'measure the fellow eye',
}

/** A derived fact is closed by measuring what it is derived from. */
const ASKED_AS: Readonly<Partial<Record<FactName, FactName>>> = {
  axialLengthDifferenceMm: 'axialLengthDifferenceMm',
  plannedAnisometropiaD: 'fellowRefractionD',
}

/** Intraoperative and bookkeeping facts that nobody is sent to find. */
const NEVER_ASKED: ReadonlySet<FactName> = new Set(['recommendedPowerD', 'lensConstantsModality', 'biometryAgeMonths'])

const rank = { critical: 0, warning: 1, info: 2 } as const

/**
 * The facts that are missing or doubtful, the most consequential first: what the lens power lacks, then what would
 * decide the gravest undecided precautions.
 */
export function gapsOf(known: Case, lens: Plan['lens'], precautions: readonly Precaution[]): Gap[] {
  const forLens: Gap[] = lens.missing.map((missing) => ({ ...missing, state: 'missing', ...taskFor(missing.fact) }))
  const target: Gap[] = lens.target.stated
    ? []
    : [
        {
          fact: 'targetRefractionD',
          label: 'target refraction',
          state: 'missing',
          wouldChange: 'The lens power: emmetropia was assumed. A lifelong high myope may want to go on reading without glasses.',
          task: 'ask the patient what refraction is wanted',
        },
      ]
  const seen = new Set([...forLens, ...target].map(({ fact }) => fact))
  const undecided = precautions
    .filter(({ finding, place }) => finding === 'unknown' && place === 'eye')
    .sort((one, other) => rank[one.indicator] - rank[other.indicator] || one.harm - other.harm || (one.id < other.id ? -1 : 1))
  const byFact = new Map<string, Precaution[]>()
  for (const precaution of undecided) {
    for (const missing of precaution.missingFacts as FactName[]) {
      if (NEVER_ASKED.has(missing)) continue
      const fact = ASKED_AS[missing] ?? missing
      if (seen.has(fact)) continue
      byFact.set(fact, [...(byFact.get(fact) ?? []), precaution])
    }
  }
  const open = [...byFact].map(
    ([fact, decides]): Gap => ({
      fact,
      label: FACTS[fact as FactName].label,
      state: 'missing',
      wouldChange: wouldChange(decides),
      ...taskFor(fact),
    }),
  )
  return [...forLens, ...target, ...doubts(known), ...open]
}

const taskFor = (fact: string): { task?: string } => {
  const task = TASKS[fact as FactName]
  return task === undefined ? {} : { task }
}

function wouldChange(decides: readonly Precaution[]): string {
  const first = decides[0]
  const others = decides.length - 1
  const ask = first?.ask ?? first?.text ?? ''
  return others === 0 ? ask : `${ask} It would decide ${others} more precaution${others === 1 ? '' : 's'}.`
}

/** Lengths above this are confirmed by a second measurement before a lens is chosen, mm. Royal College of Ophthalmologists, cataract surgery guidelines 2010, from memory. */
const CONFIRM_ABOVE_MM = 26.6

function doubts(known: Case): Gap[] {
  const length = known.axialLengthMm
  if (!length || length.value <= CONFIRM_ABOVE_MM) return []
  const dense = known.nucleus?.value.band === 'very-hard' || known.nucleus?.value.band === 'black'
  const through = dense && known.axialLengthMethod?.value === 'optical' ? ', read optically through a very dense lens' : ''
  return [
    {
      fact: 'axialLengthMm',
      label: 'axial length',
      state: 'doubtful',
      wouldChange: `A long eye${through}: confirm by a second measurement or method. 0.10 mm is about 0.15 D of refraction in an eye this long.`,
      task: 'second biometry, by another method if possible',
    },
  ]
}
