import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { fold } from '../../src/consult/consult.js'
import { type FeatureRow, featuresOf } from '../../src/trail/features.js'
import { compare, nearestCases, SCALES, type Similar } from '../../src/trail/similar-cases.js'
import { inventedConsult } from './an-invented-consult.js'

const row = (ref: string, changes: Partial<FeatureRow> = {}): FeatureRow => ({
  ref,
  askedAt: '2026-03-02T18:00:00.000Z',
  numbers: { axialLengthMm: 29.6, nucleusStep: 4 },
  words: { fundusView: 'none' },
  yesNo: {},
  steps: [],
  people: [],
  ...changes,
})
const HERE = row('HERE-1')

const compared = (there: Partial<FeatureRow>, here: Partial<FeatureRow> = {}): Similar => {
  const similar = compare(row('HERE-1', here), row('THERE-1', there))
  if (!similar) throw new Error('the cases of this test can be compared')
  return similar
}

describe('two cases', () => {
  it('are at no distance when alike in all that is known', () => {
    expect(compared({}).distance).toBe(0)
  })

  // Gower 1971: distance of two cases = sum of weight x difference / range, over the sum of the weights compared.
  it('are apart by the weighted mean of their differences, each divided by its range', () => {
    const { distance } = compared({ numbers: { axialLengthMm: 28.1, nucleusStep: 4 } })
    expect(distance).toBeCloseTo((4 * (1.5 / 3) + 3 * 0 + 2 * 0) / (4 + 3 + 2), 12)
  })

  it('are in no fact further apart than 1', () => {
    const { distance } = compared({ numbers: { axialLengthMm: 14, nucleusStep: 4 } })
    expect(distance).toBeCloseTo(4 / 9, 12)
  })

  it('are compared only in what both know, and set back by the share that is unknown there', () => {
    const similar = compared({ numbers: { axialLengthMm: 29.6 }, words: {} }, { words: {} })
    expect(similar.distance).toBeCloseTo(0.5 * (1 - 4 / 7), 12)
    expect(similar.notKnownThere).toEqual(['nucleusStep'])
  })

  it('are not set back by what is known there and not here', () => {
    expect(compared({ numbers: { ...HERE.numbers, endothelialCellDensityPerMm2: 900 } }).distance).toBe(0)
  })

  it('that share too little cannot be compared', () => {
    expect(compare(HERE, row('THERE-1', { numbers: {}, words: { fundusView: 'none' } }))).toBeUndefined()
    expect(compare(row('HERE-1', { numbers: {}, words: {} }), HERE)).toBeUndefined()
  })

  it('are not made alike by a rare thing that both lack', () => {
    const lacking = compared(
      { numbers: { axialLengthMm: 28.1, nucleusStep: 4 }, yesNo: { onlyEye: false } },
      { yesNo: { onlyEye: false } },
    )
    expect(lacking.distance).toBeCloseTo(2 / 9, 12)
    const having = compared(
      { numbers: { axialLengthMm: 28.1, nucleusStep: 4 }, yesNo: { onlyEye: true } },
      { yesNo: { onlyEye: true } },
    )
    expect(having.distance).toBeCloseTo(2 / 11, 12)
  })

  it('show in what they are alike and in what not, the weightiest first', () => {
    const { alike, unlike } = compared({ numbers: { axialLengthMm: 29.4, nucleusStep: 4 }, words: { fundusView: 'clear' } })
    expect(alike).toMatchObject([
      { fact: 'axialLengthMm', there: 29.4, here: 29.6 },
      { fact: 'nucleusStep', there: 4, here: 4 },
    ])
    expect(unlike).toMatchObject([{ fact: 'fundusView', there: 'clear', here: 'none', apart: 1 }])
  })

  const arbitraryRow = fc.record({
    axialLengthMm: fc.option(fc.double({ min: 18, max: 36, noNaN: true }), { nil: undefined }),
    nucleusStep: fc.option(fc.nat(5), { nil: undefined }),
    onlyEye: fc.option(fc.boolean(), { nil: undefined }),
  })
  const rowOf = (
    ref: string,
    {
      axialLengthMm,
      nucleusStep,
      onlyEye,
    }: { axialLengthMm: number | undefined; nucleusStep: number | undefined; onlyEye: boolean | undefined },
  ) =>
    row(ref, {
      numbers: {
        ...(axialLengthMm === undefined ? {} : { axialLengthMm }),
        ...(nucleusStep === undefined ? {} : { nucleusStep }),
      },
      yesNo: onlyEye === undefined ? {} : { onlyEye },
    })

  it('have a distance from 0 to 1.5, the same both ways when both know the same facts', () => {
    fc.assert(
      fc.property(arbitraryRow, arbitraryRow, (one, other) => {
        const distance = compare(rowOf('A-1', one), rowOf('B-1', other))?.distance ?? 0
        expect(distance >= 0 && distance <= 1.5).toBe(true)
        const sameFacts = (Object.keys(one) as (keyof typeof one)[]).every(
          (key) => (one[key] === undefined) === (other[key] === undefined),
        )
        if (sameFacts) expect(compare(rowOf('B-1', other), rowOf('A-1', one))?.distance ?? 0).toBeCloseTo(distance, 12)
      }),
    )
  })
})

describe('the nearest cases', () => {
  const at = (day: number) => `2026-03-${String(day).padStart(2, '0')}T18:00:00.000Z`
  const long = (ref: string, axialLengthMm: number, day = 1) =>
    row(ref, { numbers: { axialLengthMm, nucleusStep: 4 }, askedAt: at(day) })

  it('come nearest first, and no more than are wanted', async () => {
    const rows = [long('A-1', 28.8), long('B-1', 29.6), long('C-1', 30), long('D-1', 29.5)]
    expect((await nearestCases(HERE, rows, 3)).map((similar) => similar.row.ref)).toEqual(['B-1', 'D-1', 'C-1'])
  })

  it('never are the case itself, nor one that is far away', async () => {
    expect(await nearestCases(HERE, [HERE, row('FAR-1', { numbers: { axialLengthMm: 22, nucleusStep: 0 } })], 3)).toEqual([])
  })

  it('put the newer of two equally near first', async () => {
    const rows = [long('A-1', 29, 1), long('B-1', 29, 3), long('C-1', 29, 2)]
    expect((await nearestCases(HERE, rows, 2)).map((similar) => similar.row.ref)).toEqual(['B-1', 'C-1'])
  })

  it('are those that sorting all of them would give, in whatever order they come', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.double({ min: 28, max: 31, noNaN: true }), { maxLength: 30 }),
        fc.integer({ min: 1, max: 5 }),
        async (lengths, wanted) => {
          const rows = lengths.map((length, index) => long(`R-${index}`, length, 1 + (index % 9)))
          const found = (await nearestCases(HERE, rows, wanted)).map(({ distance }) => distance)
          const all = rows.flatMap((there) => compare(HERE, there)?.distance ?? []).toSorted((one, other) => one - other)
          expect(found).toEqual(all.filter((distance) => distance <= 0.35).slice(0, wanted))
          expect(await nearestCases(HERE, rows.toReversed(), wanted)).toEqual(await nearestCases(HERE, rows, wanted))
        },
      ),
    )
  })
})

describe('the facts that cases are compared by', () => {
  it('are taken from the present revision, with what was decided and what came of it', async () => {
    const { events, plans } = await inventedConsult()
    const consult = fold(events)
    if (consult.status === 'not-asked') throw new Error('the invented consult was asked')
    const features = featuresOf(consult, plans[1])
    expect(features).toMatchObject({
      ref: 'MARSH-7',
      eye: 'left',
      numbers: { axialLengthMm: 29.84, meanKeratometryD: 42.65, nucleusStep: 4, ageYears: 90, targetRefractionD: -1.75 },
      words: { fundusView: 'none', bScan: 'flat' },
      yesNo: { pseudoexfoliation: false },
      people: ['Wren', 'Alder', 'Sorrel'],
      decision: { planA: 'Chop under a dispersive shield', lensD: -2.5 },
    })
    expect(features.steps).toContain('capsulorhexis')
    expect(features.outcome).toContain('no complication')
    expect(features.numbers.pupilDilatedMm).toBeUndefined()
  })

  it('are unknown where the plan was erased', async () => {
    const { events } = await inventedConsult()
    const consult = fold(events)
    if (consult.status === 'not-asked') throw new Error('the invented consult was asked')
    expect(featuresOf(consult, undefined)).toMatchObject({ numbers: {}, words: {}, yesNo: {} })
  })

  it('have a range above nothing each', () => {
    for (const { range, weight } of Object.values(SCALES)) expect(range > 0 && weight >= 0).toBe(true)
  })
})
