import type { Case } from '../../src/case/case.js'
import { type AskedConsult, fold } from '../../src/consult/consult.js'
import type { ConsultEvent } from '../../src/consult/events.js'
import type { OpinionKind } from '../../src/consult/opinion.js'
import type { Outcome } from '../../src/consult/outcome.js'
import { type Lesson, lessonOf } from '../../src/learning/lesson.js'
import { normals, seeded } from '../../src/optics/random.js'
import { lensPlan } from '../../src/plan/lens-plan.js'
import { type Plan, planSchema } from '../../src/plan/plan.js'
import { riskInputOf } from '../../src/plan/risk-input-of.js'
import { withWorking } from '../../src/plan/statement-working.js'
import { riskStatements } from '../../src/risk/all.js'
import { ASKED, at, CORNEA, PLACE } from '../consult/invented-people.js'
import { longBrownEye, said } from '../plan/a-case.js'

/** A plan of an invented eye with its lens and its risks, without rules. */
export const planOf = (known: Case): Plan =>
  planSchema.parse({
    versions: { plan: 1, soundings: '0.1.0', formulas: 'f1', rules: 'r1', lensList: 'none' },
    case: known,
    lens: lensPlan(known, undefined),
    risks: riskStatements(riskInputOf(known)).map(withWorking),
    surgery: [],
    biometryChecks: [],
    precautions: [],
    tensions: [],
    gaps: [],
  })

export interface Told {
  readonly ref?: string
  readonly outcomes?: readonly Outcome[]
  readonly opinions?: readonly OpinionKind[]
  readonly events?: readonly ConsultEvent[]
}

/** An invented consult with what its colleagues and its outcome say. */
export function consultOf({ ref = 'MARSH-7', outcomes = [], opinions = [], events = [] }: Told): AskedConsult {
  const given = opinions.map(
    (kind, index): ConsultEvent => ({
      type: 'opinion-given',
      by: { ...CORNEA, id: `slack:T1:V${index}` },
      at: at(1),
      ref,
      revision: 1,
      opinion: { kind, steps: [] },
    }),
  )
  const recorded = outcomes.map((outcome): ConsultEvent => ({ type: 'outcome-recorded', by: ASKED.by, at: at(3), ref, outcome }))
  const consult = fold([{ ...ASKED, ref, place: PLACE }, ...given, ...events, ...recorded])
  if (consult.status === 'not-asked') throw new Error('this consult was asked')
  return consult
}

export function lessonFrom(plan: Plan, told: Told): Lesson {
  const lesson = lessonOf(consultOf(told), plan)
  if (!lesson) throw new Error('this consult teaches something')
  return lesson
}

export interface InventedEye {
  readonly axialLengthMm: number
  readonly keratometryD: number
  readonly depthMm: number
  readonly noiseD: number
}

/** Eyes of ordinary length drawn from a seed; `noiseD` is a standard normal draw. */
export function inventedEyes(count: number, seed: number, length = { meanMm: 23.5, spreadMm: 0.9 }): readonly InventedEye[] {
  const normal = normals(seeded(seed))
  // No eye so odd that a formula does not hold for it.
  const draw = () => Math.max(-2.5, Math.min(2.5, normal()))
  return Array.from({ length: count }, () => {
    const axial = draw()
    return {
      axialLengthMm: Math.round((length.meanMm + length.spreadMm * axial) * 100) / 100,
      keratometryD: Math.round((43.5 + 1.4 * draw()) * 100) / 100,
      depthMm: Math.round((3.1 + 0.12 * axial + 0.3 * draw()) * 100) / 100,
      noiseD: draw(),
    }
  })
}

export const ordinaryCase = (eye: InventedEye, more: Parameters<typeof longBrownEye>[0] = {}): Case =>
  longBrownEye({
    axialLengthMm: said(eye.axialLengthMm),
    keratometry: said({ meanD: eye.keratometryD, indexGiven: 1.3375 }),
    anteriorChamberDepthMm: said(eye.depthMm),
    targetRefractionD: said(-0.25),
    ...more,
  })

export const weeks = (refractionD: number, powerD: number, label = 'Invented A'): Outcome => ({
  stage: 'four-to-six-weeks',
  lens: { powerD, label },
  refractionD,
  complications: [],
})
