import { describe, expect, it } from 'vitest'
import type { Case } from '../../src/case/case.js'
import { biometryChecksOf } from '../../src/plan/biometry-checks.js'
import { gapsOf } from '../../src/plan/gaps.js'
import { lensPlan } from '../../src/plan/lens-plan.js'
import type { Precaution } from '../../src/plan/plan.js'
import { longBrownEye, said } from './a-case.js'

const precaution = (id: string, missingFacts: string[], parts: Partial<Precaution> = {}): Precaution => ({
  id,
  theme: 'retina',
  indicator: 'warning',
  step: 'assessment',
  finding: 'unknown',
  place: 'eye',
  text: `do ${id}`,
  why: 'because',
  ask: `ask ${id}`,
  missingFacts,
  harm: 3,
  changeableBefore: true,
  layer: 'shipped',
  sources: [],
  ...parts,
})

const gapsFor = (known: Case, precautions: readonly Precaution[]) =>
  gapsOf(lensPlan(known, undefined), biometryChecksOf(known), precautions)

/** An eye that no biometry check doubts. */
const ordinary = { axialLengthMm: said(23), nucleus: undefined }

describe('gaps', () => {
  it('name first what the lens power lacks', () => {
    const known = longBrownEye({ eye: undefined, axialLengthMm: undefined })
    const gaps = gapsFor(known, [precaution('b', ['staphyloma'])])
    expect(gaps.map(({ fact }) => fact)).toEqual(['eye', 'axialLengthMm', 'staphyloma'])
  })

  it('come once a fact, the gravest precaution speaking, with the number of others', () => {
    const known = longBrownEye(ordinary)
    const undecided = [
      precaution('light', ['staphyloma'], { indicator: 'info' }),
      precaution('grave', ['staphyloma'], { indicator: 'critical' }),
    ]
    const gaps = gapsFor(known, undecided)
    expect(gaps).toEqual([
      {
        fact: 'staphyloma',
        label: 'posterior staphyloma',
        state: 'missing',
        wouldChange: 'ask grave It would decide 1 more precaution.',
        task: 'B-scan for staphyloma',
      },
    ])
  })

  it('are not made by precautions that are quiet, fire, or stand on the checklist', () => {
    const known = longBrownEye(ordinary)
    const others = [
      precaution('a', ['staphyloma'], { finding: 'quiet' }),
      precaution('b', ['bScan'], { finding: 'fires' }),
      precaution('c', ['macula'], { place: 'checklist' }),
    ]
    expect(gapsFor(known, others)).toEqual([])
  })

  it('call a long length read through a dense lens doubtful, not wrong', () => {
    const known = longBrownEye()
    const [gap] = gapsFor(known, [])
    expect(gap).toMatchObject({ fact: 'axialLengthMm', state: 'doubtful' })
    expect(gap?.wouldChange).toMatch(/dense lens/)
  })

  it('ask for a target that was assumed', () => {
    const known = longBrownEye({ ...ordinary, targetRefractionD: undefined })
    expect(gapsFor(known, []).map(({ fact }) => fact)).toEqual(['targetRefractionD'])
  })
})
