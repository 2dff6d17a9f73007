import { FACTS, type FactName } from '../precautions/facts.js'
import type { BiometryCheck, Gap, Plan, Precaution } from './plan.js'

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
  contactLenses: 'ask about contact lenses, and since when they are out',
  keratoconus: 'corneal topography',
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
  diabeticRetinopathy: 'diabetes',
  plannedAnisometropiaD: 'fellowRefractionD',
}

/** Intraoperative and bookkeeping facts that nobody is sent to find. */
const NEVER_ASKED: ReadonlySet<FactName> = new Set(['recommendedPowerD', 'lensConstantsModality', 'biometryAgeMonths'])

const rank = { critical: 0, warning: 1, info: 2 } as const

/**
 * The facts that are missing or doubtful, the most consequential first: what the lens power lacks, then what would
 * decide the gravest undecided precautions.
 */
export function gapsOf(lens: Plan['lens'], checks: readonly BiometryCheck[], precautions: readonly Precaution[]): Gap[] {
  const forLens: Gap[] = lens.missing.map((missing) => ({ ...missing, state: 'missing', ...taskFor(missing.fact) }))
  const target = targetGap(lens)
  const asked = new Set([...forLens, ...target].map(({ fact }) => fact))
  const doubtful = doubts(checks).filter(({ fact }) => !asked.has(fact))
  const seen = new Set([...asked, ...doubtful.map(({ fact }) => fact)])
  const undecided = precautions
    .filter(({ finding, place }) => finding === 'unknown' && place === 'eye')
    .sort((one, other) => rank[one.indicator] - rank[other.indicator] || one.harm - other.harm || (one.id < other.id ? -1 : 1))
  const byFact = new Map<string, Precaution[]>()
  for (const precaution of undecided) {
    for (const missing of precaution.missingFacts as FactName[]) {
      if (NEVER_ASKED.has(missing)) continue
      const fact = ASKED_AS[missing] ?? missing
      if (seen.has(fact)) continue
      const decided = byFact.get(fact)
      if (decided) decided.push(precaution)
      else byFact.set(fact, [precaution])
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
  return [...forLens, ...target, ...doubtful, ...open]
}

/** A target that was assumed, or one that a lifelong high myope may not have been asked about. */
function targetGap({ target, targetChoice }: Plan['lens']): Gap[] {
  if (target.stated && !targetChoice) return []
  const assumed = target.stated ? '' : 'The lens power: emmetropia was assumed. '
  const choice = targetChoice?.question ?? 'A lifelong high myope may want to go on reading without glasses.'
  return [
    {
      fact: 'targetRefractionD',
      label: 'target refraction',
      state: target.stated ? 'doubtful' : 'missing',
      wouldChange: `${assumed}${choice}`,
      task: 'ask the patient what refraction is wanted',
    },
  ]
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

/** Which fact a biometry check doubts, and what settles it. The tighter screening limits stay on the plan and ask nobody. */
const DOUBTS: Readonly<Record<string, { readonly fact: FactName; readonly task: string }>> = {
  'long-eye': { fact: 'axialLengthMm', task: 'second biometry, by another method if possible' },
  'method-against-lens': { fact: 'axialLengthMm', task: 'second biometry, by another method if possible' },
  'national-axial-length': { fact: 'axialLengthMm', task: 'second biometry, by another method if possible' },
  'national-length-between-eyes': { fact: 'axialLengthDifferenceMm', task: 'measure both eyes again' },
  'long-eyes-differ': { fact: 'axialLengthDifferenceMm', task: 'measure both eyes again' },
  'national-keratometry': { fact: 'meanKeratometryD', task: 'keratometry again, with topography' },
  'national-astigmatism': { fact: 'keratometricAstigmatismD', task: 'keratometry again, with topography' },
  'national-keratometry-between-eyes': { fact: 'keratometryDifferenceD', task: 'keratometry of both eyes again' },
  'contact-lenses': { fact: 'meanKeratometryD', task: 'keratometry again once contact lenses have been out long enough' },
  keratoconus: { fact: 'meanKeratometryD', task: 'keratometry again, with topography' },
  'age-of-biometry': { fact: 'biometryAgeMonths', task: 'biometry again' },
}

/** Measurements that stand but want a second look, one a fact; a long eye is asked to confirm, never blocked. */
function doubts(checks: readonly BiometryCheck[]): Gap[] {
  const byFact = new Map<FactName, { readonly task: string; readonly said: string[] }>()
  const longEye = checks.some(({ id }) => id === 'long-eye')
  for (const { id, finding, words } of checks) {
    const doubt = finding === 'confirm' ? DOUBTS[id] : undefined
    // What a long eye is asked says what its limit would say, and why.
    if (!doubt || (longEye && id === 'national-axial-length')) continue
    const sofar = byFact.get(doubt.fact) ?? { task: doubt.task, said: [] }
    sofar.said.push(words)
    byFact.set(doubt.fact, sofar)
  }
  return [...byFact].map(([fact, { task, said }]) => ({
    fact,
    label: FACTS[fact].label,
    state: 'doubtful',
    wouldChange: said.map((words) => `${words.charAt(0).toUpperCase()}${words.slice(1)}.`).join(' '),
    task,
  }))
}
