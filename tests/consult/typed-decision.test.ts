import { describe, expect, it } from 'vitest'
import { outcomeInWords } from '../../src/consult/outcome.js'
import { readBack, readRefraction, readSigned } from '../../src/consult/signed-power.js'
import { typedDecision } from '../../src/consult/typed-decision.js'
import { typedOutcome } from '../../src/consult/typed-outcome.js'

describe('a power as it is typed', () => {
  it.each([
    ['+9.0', 9],
    ['\u22129.0', -9],
    ['-9', -9],
    ['+9,25 D', 9.25],
    ['0', 0],
    ['+ 9.0', 9],
  ])('%s is %d', (written, value) => {
    expect(readSigned(written, 'lens power')).toEqual({ value })
  })

  it('without its sign is refused with both that could be meant', () => {
    expect(readSigned('9', 'lens power')).toEqual({ problem: 'The sign of the lens power is missing: write +9.0 or \u22129.0' })
  })

  it.each(['nine', '+9.0.0', '+900', ''])('%j is no power', (written) => {
    expect(readSigned(written, 'lens power')).toHaveProperty('problem')
  })

  it('is read back in words', () => {
    expect([readBack(9), readBack(-3.25), readBack(0)]).toEqual([
      '+9.0 D (plus 9.0)',
      '\u22123.25 D (minus 3.25)',
      '0.0 D (nought)',
    ])
  })
})

describe('a refraction as it is typed', () => {
  // Half of a cylinder in quarter steps gives eighths: the equivalent is the sphere and half the cylinder (definition).
  it.each([
    ['-0.875', -0.875],
    ['+0,125', 0.125],
    ['-1.50 D', -1.5],
    ['0', 0],
    ['plano', 0],
    ['Plano / -0.50 x 90', -0.25],
    ['-0.50/-0.75', -0.875],
    ['-0.50 / -0.75 x 90', -0.875],
    ['+1.00DS/-2.00DC x 175', 0],
    ['0.00/\u22121.00@5', -0.5],
    ['\u22122.25 / +1.50 × 10°', -1.5],
  ])('%s is %s', (written, value) => {
    expect(readRefraction(written)).toEqual({ value })
  })

  it.each(['0.875', '1.50', '-0.50/0.75', '-0.50/', '-100', '-0.50-0.75'])(
    '%s is refused with what to write instead',
    (written) => {
      expect(readRefraction(written)).toHaveProperty('problem', expect.stringMatching(/[Ww]rite/))
    },
  )

  it('stands in the outcome as it was measured', () => {
    const read = typedOutcome('4-6 weeks; refraction -0.50/-0.75 x 90')
    expect('outcome' in read && outcomeInWords(read.outcome)).toContain('refraction \u22120.875 D')
  })
})

describe('a typed decision', () => {
  it('is read in its parts', () => {
    const text =
      'A: chop; B: manual extraction; if the nucleus does not crack; operates consultant; lens +9.5 Quay-1 because fellow eye; follows Alder, @Sorrel; not Teal because seen flat; override length-unconfirmed because measured twice'
    expect(typedDecision(text)).toEqual({
      decision: {
        planA: 'chop',
        planB: 'manual extraction',
        trigger: 'the nucleus does not crack',
        operates: 'consultant',
        lens: { powerD: 9.5, label: 'Quay-1' },
        lensBecause: 'fellow eye',
        follows: ['Alder', 'Sorrel'],
        departs: [{ from: 'Teal', because: 'seen flat' }],
        overrides: [{ precaution: 'length-unconfirmed', because: 'measured twice' }],
      },
    })
  })

  it.each([
    ['A chop; operates me; lens 9', 'The sign of the lens power is missing'],
    ['A chop; operates me; lens 9.0 D', 'The sign of the lens power is missing'],
    ['chop it', '“chop it” is not understood as a part of a decision'],
  ])('%s is refused', (text, words) => {
    const read = typedDecision(text)
    expect('problems' in read && read.problems.join()).toContain(words)
  })

  it('takes what is missing as empty, for the rules to refuse', () => {
    expect(typedDecision('lens +9.0')).toEqual({
      decision: { planA: '', operates: '', lens: { powerD: 9 }, follows: [], departs: [], overrides: [] },
    })
  })
})

describe('a typed outcome', () => {
  it('is read in its parts, and the rest is kept as a note', () => {
    const text =
      'operation; on 2026-03-09; lens +9.0; PCR, vitreous loss; converted to extracapsular; ultrasound 45 s; a long day'
    expect(typedOutcome(text)).toEqual({
      outcome: {
        stage: 'operation',
        on: '2026-03-09',
        lens: { powerD: 9 },
        complications: ['posterior-capsule-rupture', 'vitreous-loss'],
        conversion: 'extracapsular',
        energy: { ultrasoundSeconds: 45 },
        note: 'a long day',
      },
    })
  })

  it('finds a complication that is written without its heading, beside other words too', () => {
    expect(typedOutcome('operation; PCR and a long day')).toEqual({
      outcome: { stage: 'operation', complications: ['posterior-capsule-rupture'], note: 'PCR and a long day' },
    })
    expect(typedOutcome('operation; no PCR')).toEqual({ outcome: { stage: 'operation', note: 'no PCR' } })
  })

  it('tells none from not stated', () => {
    expect(typedOutcome('4-6 weeks; refraction \u22121.50; acuity 6/9; complications none; ECD 1,980; IOP 14')).toEqual({
      outcome: {
        stage: 'four-to-six-weeks',
        refractionD: -1.5,
        acuity: '6/9',
        complications: [],
        endothelialCellsPerMm2: 1980,
        pressureMmHg: 14,
      },
    })
    expect(typedOutcome('12 months: refraction 0')).toEqual({ outcome: { stage: 'twelve-months', refractionD: 0 } })
  })

  it.each([
    ['lens +9.0', 'Say first when'],
    ['operation; lens 9', 'sign of the lens power'],
    ['4 weeks; refraction 1.5', 'sign of the refraction'],
    ['operation; complications bad luck', 'no complication of the list'],
    ['operation; converted to something', 'no conversion of the list'],
    ['operation; IOP high', 'not a number'],
    ['operation; IOP 900', 'pressureMmHg'],
    ['operation; on 2026-02-31', 'on:'],
  ])('%s is refused', (text, words) => {
    const read = typedOutcome(text)
    expect('problems' in read && read.problems.join()).toContain(words)
  })
})
