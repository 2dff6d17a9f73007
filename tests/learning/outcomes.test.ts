import { describe, expect, it } from 'vitest'
import type { Lesson } from '../../src/learning/lesson.js'
import { readOperations } from '../../src/learning/operations-file.js'
import { FEWEST_CONSULTS, opinionAgreement } from '../../src/learning/opinion-agreement.js'
import { BASE_RATES, type BaseRate, cumulate, ruptureChart } from '../../src/learning/rupture-chart.js'
import { seeded } from '../../src/optics/random.js'
import { recalibrate } from '../../src/risk/capsule-rupture-odds-2009.js'
import { closeTo } from '../optics/close-to.js'

const rate = (id: string): BaseRate => {
  const found = BASE_RATES.find((one) => one.id === id)
  if (!found) throw new Error(`no rate ${id}`)
  return found
}

type Changes = { readonly [Part in keyof Lesson]?: Lesson[Part] | undefined }

const lesson = (number: number, changes: Changes = {}): Lesson => ({
  ...whole(number),
  ...(Object.fromEntries(Object.entries(changes)) as Partial<Lesson>),
})

const whole = (number: number): Lesson => ({
  ref: `QUAY-${number}`,
  day: `2026-03-${String((number % 28) + 1).padStart(2, '0')}`,
  errors: [],
  opinions: [],
  rupture: false,
  expected: {
    published: 0.1,
    recalibrated: BASE_RATES.slice(1).map(({ words, rate: to }) => ({ baseRate: words, value: recalibrate(0.1, to) })),
    surgeonStated: true,
  },
})

describe('observed minus expected', () => {
  it('is summed by hand', () => {
    const points = cumulate([
      { day: '2026-03-01', rupture: false, expected: 0.1 },
      { day: '2026-03-02', rupture: true, expected: 0.2 },
      { day: '2026-03-03', rupture: false, expected: 0.5 },
    ])
    expect(points.map(({ difference }) => difference.toFixed(6))).toEqual(['-0.100000', '0.700000', '0.200000'])
    // Variance 0.09 + 0.16 + 0.25 = 0.50.
    closeTo(points[2]?.high ?? 0, 1.959963985 * Math.sqrt(0.5), 1e-9)
    closeTo(points[2]?.low ?? 0, -1.959963985 * Math.sqrt(0.5), 1e-9)
    // 0, then log 2 - log 1.2, then that - log 1.5.
    closeTo(points[0]?.cusum ?? 1, 0, 1e-12)
    closeTo(points[1]?.cusum ?? 0, Math.log(2 / 1.2), 1e-12)
    closeTo(points[2]?.cusum ?? 0, Math.log(2 / 1.8), 1e-12)
  })

  it('stays inside its range at the last operation in about 95 of 100 seeded series that follow the model', () => {
    let inside = 0
    const rounds = 1000
    const uniform = seeded(4)
    for (let round = 0; round < rounds; round += 1) {
      const points = cumulate(
        Array.from({ length: 200 }, (_, index) => {
          const expected = 0.02 + 0.001 * (index % 100)
          return { day: '2026-03-01', rupture: uniform() < expected, expected }
        }),
      )
      const last = points.at(-1)
      if (last && last.difference >= last.low && last.difference <= last.high) inside += 1
    }
    closeTo(inside / rounds, 0.95, 0.021)
  })

  it('over consults says that these are not all operations, and what was left out', () => {
    const chart = ruptureChart(
      [
        lesson(3, { rupture: true }),
        lesson(1),
        lesson(2, { rupture: undefined }),
        lesson(4, { expected: undefined }),
        lesson(5, { expected: { published: 0.2, recalibrated: [], surgeonStated: false } }),
      ],
      rate('2001-06'),
    )
    expect(chart.denominator).toMatch(/^Consults only: 3 operations .*not all operations of the unit/)
    expect(chart.notes).toEqual([
      '1 outcome left out: nothing was said about complications.',
      '1 outcome left out: the plan gave no figure by this model.',
      "In 1 the surgeon's grade was not stated: the consultant's figure was expected.",
    ])
    expect(chart.points.map(({ rupture }) => rupture)).toEqual([false, true, false])
    closeTo(chart.expectedAt[0]?.expected ?? 0, 0.4, 1e-12)
  })

  it('counts only what stands on the chart, where an earlier plan was not carried to the rate that is asked for', () => {
    const earlier = lesson(5, { expected: { published: 0.2, recalibrated: [], surgeonStated: true } })
    const chart = ruptureChart([lesson(1), lesson(2), earlier], rate('2016-22'))
    expect(chart.points).toHaveLength(2)
    expect(chart.denominator).toMatch(/^Consults only: 2 operations /)
    expect(chart.notes).toEqual(['1 outcome left out: the plan gave no figure by this model.'])
  })

  it('expects less at a later national rate', () => {
    const [published, later, latest] = ruptureChart([lesson(1), lesson(2)], rate('2016-22')).expectedAt
    closeTo(published?.expected ?? 0, 0.2, 1e-12)
    closeTo(later?.expected ?? 0, 2 * recalibrate(0.1, 0.0101), 1e-12)
    closeTo(latest?.expected ?? 0, 2 * recalibrate(0.1, 0.0069), 1e-12)
  })

  it('over all operations expects the base rate where no consult is named, and the own risk where one is', () => {
    const read = readOperations('date,rupture,consult\n2026-03-02,no,QUAY-1\n2026-03-01,yes,\n2026-03-03,no,FEN-9\n')
    if ('faults' in read) throw new Error('this file is whole')
    const chart = ruptureChart([lesson(1, { rupture: true }), lesson(2)], rate('2023-24'), read.operations)
    expect(chart.denominator).toMatch(/^All operations imported: 3, of which 1 are consults/)
    expect(chart.points.map(({ expected }) => expected)).toEqual([0.0069, recalibrate(0.1, 0.0069), 0.0069])
    expect(chart.observed).toBe(1)
    expect(chart.notes).toEqual([
      '1 consult with an outcome on record is not named in the file and not added to it.',
      '1 operation of the file names a consult without an outcome on record: expected at the base rate.',
      'In 1 the file and the record differ on whether the capsule ruptured: the file was taken.',
    ])
  })
})

describe('a file of operations', () => {
  it('is read with other columns, separators and a byte order mark', () => {
    const read = readOperations('\uFEFFRupture;surgeon;DATE\r\nYes;x;2026-03-02\r\n"no";y;2026-03-01\r\n\r\n')
    expect(read).toEqual({
      operations: [
        { day: '2026-03-01', rupture: false },
        { day: '2026-03-02', rupture: true },
      ],
    })
  })

  it.each([
    ['day,rupture\n2026-03-01,no', /line 1: .*"date" and "rupture" are missing/],
    ['date,rupture\n01/03/2026,no', /line 2, column date: .*2026-03-02/],
    ['date,rupture\n2026-02-30,no', /line 2, column date/],
    ['date,rupture\n2026-03-01,', /line 2, column rupture: write yes or no; leave out/],
    ['date,rupture,consult\n2026-03-01,no,Mr Smith', /line 2, column consult: .*MARSH-7/],
    ['date,rupture\n', /no operation follows/],
  ])('is refused as a whole when a line is wrong: %j', (text, because) => {
    const read = readOperations(text)
    expect('faults' in read ? read.faults.join('\n') : '').toMatch(because)
  })

  it('never repeats what stands in a wrong cell', () => {
    const read = readOperations('date,rupture,consult\nSmith,maybe,Jones\n')
    expect(JSON.stringify(read)).not.toMatch(/Smith|maybe|Jones/)
  })
})

describe('opinions and outcomes', () => {
  const with_ = (kind: Lesson['opinions'][number]['kind'], trouble: Lesson['trouble'], times: number, changedAfter = false) =>
    Array.from({ length: times }, (_, index) => lesson(index, { trouble, opinions: [{ kind, changedAfter }] }))
  const well = { complication: false, surprise: false }
  const ruptured = { complication: true, surprise: false }

  it('agree when trouble follows a cautious one, and none another', () => {
    const agreement = opinionAgreement([
      ...with_('agree', well, 7),
      ...with_('agree', ruptured, 1),
      ...with_('do-not-operate-on-this-plan', ruptured, 2),
      ...with_('do-not-operate-on-this-plan', { complication: false, surprise: true }, 1),
      ...with_('do-not-operate-on-this-plan', well, 3, true),
    ])
    expect(agreement.find(({ kind }) => kind === 'agree')?.agreed).toMatchObject({ count: 7, of: 8 })
    expect(agreement.find(({ kind }) => kind === 'do-not-operate-on-this-plan')).toMatchObject({
      consults: 6,
      changedAfter: 3,
      complication: { count: 2 },
      surprise: { count: 1 },
      agreed: { count: 3, of: 6 },
    })
  })

  it('count one consult once, however many colleagues said the same', () => {
    const three = lesson(1, {
      trouble: well,
      opinions: Array.from({ length: 3 }, () => ({ kind: 'agree', changedAfter: false }) as const),
    })
    expect(opinionAgreement([three]).find(({ kind }) => kind === 'agree')?.consults).toBe(1)
  })

  it('are not counted where it is not known whether anything went wrong', () => {
    const unknown = lesson(1, { opinions: [{ kind: 'agree', changedAfter: false }] })
    expect(opinionAgreement([unknown]).every(({ consults }) => consults === 0)).toBe(true)
  })

  it('give no share below the limit', () => {
    const [agree] = opinionAgreement(with_('agree', ruptured, FEWEST_CONSULTS - 1))
    expect(agree).toEqual({ kind: 'agree', consults: FEWEST_CONSULTS - 1 })
    expect(opinionAgreement(with_('agree', ruptured, FEWEST_CONSULTS))[0]?.agreed).toBeDefined()
  })
})
