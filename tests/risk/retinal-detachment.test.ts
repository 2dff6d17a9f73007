import { describe, expect, it } from 'vitest'
import { DETACHMENT_BANDS, detachmentBand, retinalDetachmentStatement } from '../../src/risk/retinal-detachment.js'
import { detachmentAfterRuptureStatement } from '../../src/risk/retinal-detachment-after-rupture.js'
import { RETINAL_DETACHMENT_STUDIES } from '../../src/risk/retinal-detachment-studies.js'

const bandFor = (input: Parameters<typeof detachmentBand>[0]) => {
  const outcome = detachmentBand(input)
  if (outcome.kind !== 'computed') throw new Error(outcome.reason)
  return outcome.value
}

describe('the band', () => {
  it.each([
    [24, DETACHMENT_BANDS.ordinaryRaised],
    [25, DETACHMENT_BANDS.ordinaryRaised],
    [25.1, DETACHMENT_BANDS.between],
    [26, DETACHMENT_BANDS.long],
    [28, DETACHMENT_BANDS.long],
    [28.01, DETACHMENT_BANDS.veryLong],
    [34, DETACHMENT_BANDS.veryLong],
  ])('%f mm', (axialLengthMm, band) => {
    expect(bandFor({ axialLengthMm })).toEqual(band)
  })

  it('the lowest one needs a woman known to be over 60', () => {
    expect(bandFor({ axialLengthMm: 23, sex: 'female', ageYears: 70 })).toEqual(DETACHMENT_BANDS.ordinary)
    expect(bandFor({ axialLengthMm: 23, sex: 'female' })).toEqual(DETACHMENT_BANDS.ordinaryRaised)
  })

  it('a refraction beyond −15 D stands for a length nobody stated', () => {
    expect(bandFor({ refractionD: -16 })).toEqual(DETACHMENT_BANDS.veryLong)
    expect(bandFor({ refractionD: -15 })).toBeUndefined()
  })

  it('rises with length', () => {
    const highs = [23, 25.5, 27, 29].map((axialLengthMm) => bandFor({ axialLengthMm })?.high ?? 0)
    expect(highs).toEqual([...highs].sort((a, b) => a - b))
  })

  it('NaN and an impossible length are refused', () => {
    expect(detachmentBand({ axialLengthMm: Number.NaN }).kind).toBe('outside-domain')
    expect(detachmentBand({ axialLengthMm: 235 }).kind).toBe('outside-domain')
  })
})

describe('the statement', () => {
  it('places a young man higher without multiplying anything into the band', () => {
    const plain = retinalDetachmentStatement({ axialLengthMm: 29.6 })
    const young = retinalDetachmentStatement({ axialLengthMm: 29.6, ageYears: 58, sex: 'male', lattice: true })
    expect(young.words).toContain('higher for: age under 60, male, lattice')
    expect([young.band?.low, young.band?.high]).toEqual([plain.band?.low, plain.band?.high])
  })

  it('shows the disagreement and unfolds every study with its population and years', () => {
    const { words, working } = retinalDetachmentStatement({ axialLengthMm: 29.6 })
    expect(words).toContain('studies from 0.8 to 8 in 100')
    expect(working?.inputs).toHaveLength(RETINAL_DETACHMENT_STUDIES.length)
  })

  it('without a length gives no band and says what length would change', () => {
    const { band, words, factorsUnstated } = retinalDetachmentStatement({})
    expect(band).toBeUndefined()
    expect(words).toContain('axial length is not stated')
    expect(factorsUnstated[0]?.factor).toBe('axial length')
  })

  it('after a rupture gives the average eye, and says that a long one was not measured', () => {
    expect(detachmentAfterRuptureStatement({ axialLengthMm: 29.6 }).words).toContain(
      '3 in 100 (2.4 to 4.5 in 100) in the average eye, against 1 in 630 without; in a long eye not measured, higher',
    )
    expect(detachmentAfterRuptureStatement({}).factorsUnstated).toHaveLength(1)
  })
})
