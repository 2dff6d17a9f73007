import { describe, expect, it } from 'vitest'
import { capsuleRuptureScore, capsuleRuptureScoreStatement } from '../../src/risk/capsule-rupture-score-2004.js'
import type { RiskInput } from '../../src/risk/risk-input.js'
import { surgeonScore, surgeonScoreStatement } from '../../src/risk/surgeon-score-2020.js'

const read = (input: RiskInput) => {
  const outcome = capsuleRuptureScore(input)
  if (outcome.kind !== 'computed') throw new Error(outcome.reason)
  return outcome.value
}
const surgeon = (input: RiskInput) => {
  const outcome = surgeonScore(input)
  if (outcome.kind !== 'computed') throw new Error(outcome.reason)
  return outcome.value
}

describe('the integer score of 2004', () => {
  it.each<readonly [string, RiskInput, number]>([
    ['previous vitrectomy', { previousVitrectomy: true }, 1],
    ['corneal scar', { cornealScar: true }, 1],
    ['pupil of 2.9 mm', { pupilDilatedMm: 2.9 }, 1],
    ['pupil of 3.0 mm', { pupilDilatedMm: 3 }, 0],
    ['chamber of 2.4 mm', { anteriorChamberDepthMm: 2.4 }, 1],
    ['chamber of 2.5 mm', { anteriorChamberDepthMm: 2.5 }, 0],
    ['age 89', { ageYears: 89 }, 1],
    ['age 88', { ageYears: 88 }, 0],
    ['−6.5 D', { refractionD: -6.5 }, 1],
    ['+6.5 D', { refractionD: 6.5 }, 1],
    ['−6.0 D', { refractionD: -6 }, 0],
    ['posterior capsule plaque', { posteriorCapsulePlaque: true }, 1],
    ['posterior polar cataract', { posteriorPolarCataract: true }, 1],
    ['poor access', { poorAccess: true }, 1],
    ['dense lens', { denseOrWhite: true }, 3],
    ['pseudoexfoliation', { pseudoexfoliation: true }, 3],
    ['phacodonesis', { phacodonesis: true }, 3],
  ])('%s', (_, input, points) => {
    expect(read(input).score).toBe(points)
  })

  it('a brown long eye without a refraction scores 4: 5 in 100 in that group, and says where the ametropia is from', () => {
    const input: RiskInput = { ageYears: 58, axialLengthMm: 29.6, denseOrWhite: true, anteriorChamberDepthMm: 3.45 }
    const statement = capsuleRuptureScoreStatement(input)
    expect(read(input).score).toBe(4)
    expect(statement.words).toContain('integer score at least 4: 5 in 100 observed in 2004')
    expect(statement.caveats.join(' ')).toContain('inferred from an axial length over 26.5 mm')
  })

  it('a stated refraction decides before the length does', () => {
    expect(read({ axialLengthMm: 29.6, refractionD: -4 }).score).toBe(0)
  })

  it('a shorter eye without a refraction leaves the ametropia unknown', () => {
    expect(read({ axialLengthMm: 26.5 }).unstated.map(({ item }) => item)).toContain('ametropia over 6 D')
  })

  it('an unstated item is listed with the score it would lead to', () => {
    const { factorsUnstated } = capsuleRuptureScoreStatement({ denseOrWhite: true })
    expect(factorsUnstated.find(({ factor }) => factor === 'phacodonesis')?.wouldChange).toContain('score 6')
  })

  it('the top group of 25 eyes is shown with its interval', () => {
    const statement = capsuleRuptureScoreStatement({ denseOrWhite: true, pseudoexfoliation: true })
    expect(statement.value).toBe(0.08)
    expect(statement.band?.low).toBeCloseTo(0.0222, 4)
    expect(statement.band?.high).toBeCloseTo(0.2497, 4)
    expect(statement.words).toContain('2 of 25 eyes; 95 % interval')
  })

  it('nothing stated gives no rate', () => {
    expect(capsuleRuptureScoreStatement({}).value).toBeUndefined()
  })

  it('NaN and a length in another unit are refused', () => {
    expect(capsuleRuptureScore({ ageYears: Number.NaN }).kind).toBe('outside-domain')
    expect(capsuleRuptureScore({ axialLengthMm: 296 }).kind).toBe('outside-domain')
  })
})

describe('the New Zealand score of 2020', () => {
  it('a brunescent lens with more than 6 D scores 4: consultant level', () => {
    const input: RiskInput = { denseOrWhite: true, refractionD: -12 }
    expect(surgeon(input).score).toBe(4)
    expect(surgeonScoreStatement(input).words).toContain('above 3, a surgeon of consultant level is advised')
  })

  it('three points are not above 3, but what is unstated could take it there', () => {
    const statement = surgeonScoreStatement({ denseOrWhite: true })
    expect(statement.band?.words).toContain('unstated items could take it there')
    expect(statement.factorsUnstated.find(({ factor }) => factor === 'only eye')?.wouldChange).toBe(
      '3 more, score 6: consultant level',
    )
  })

  it('counts an alpha blocker of the past, an only eye and a vitrectomy as the score does', () => {
    expect(surgeon({ alphaBlocker: 'past' }).score).toBe(2)
    expect(surgeon({ onlyEye: true }).score).toBe(3)
    expect(surgeon({ previousVitrectomy: true }).score).toBe(3)
  })

  it('gives no score when nothing is stated', () => {
    expect(surgeonScoreStatement({}).band).toBeUndefined()
  })
})
