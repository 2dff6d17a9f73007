import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { secondEyeAim } from '../../src/optics/second-eye.js'
import { exchangePower, secondaryPower } from '../../src/optics/secondary-power.js'
import { CONSTANT_PAIRS, withSeparateConstants } from '../../src/optics/separate-constants.js'
import { thinLensPower, thinLensRefraction } from '../../src/optics/vergence.js'
import { dioptres, mm } from '../../src/terms/units.js'
import { closeTo, lastDigit } from './close-to.js'

describe('power from the refraction alone', () => {
  /** By an independent transcription of the equation. */
  it.each([
    [43, 5, 0, 12, 4.5, 7.4291],
    [45, -20, -0.5, 14, 3.5, -18.5528],
    [45, 12, -0.5, 14, 5.25, 23.5904],
  ])('cornea %d D, from %d to %f D at vertex %d mm, lens at %f mm', (keratometry, before, wanted, vertex, position, power) => {
    const outcome = secondaryPower(
      {
        keratometry: dioptres(keratometry),
        refraction: dioptres(before),
        wanted: dioptres(wanted),
        lensPosition: mm(position),
      },
      mm(vertex),
    )
    if (outcome.kind !== 'computed') throw new Error(outcome.reason)
    closeTo(outcome.value, power, lastDigit(4))
  })

  it('exchanges a lens for the one that the whole eye would have been given', () => {
    const between = (min: number, max: number) => fc.double({ min, max, noNaN: true })
    fc.assert(
      fc.property(between(21, 34), between(39, 47), between(3, 7), between(-10, 30), between(-4, 1), (l, k, d, power, wanted) => {
        const refraction = thinLensRefraction(mm(l), dioptres(k), mm(d), dioptres(power))
        fc.pre(Math.abs(refraction) < 20)
        const eye = { keratometry: dioptres(k), refraction, wanted: dioptres(wanted), lensPosition: mm(d) }
        const outcome = exchangePower(dioptres(power), eye)
        if (outcome.kind !== 'computed') throw new Error(outcome.reason)
        closeTo(outcome.value, thinLensPower(mm(l), dioptres(k), mm(d), dioptres(wanted)), 1e-7)
      }),
    )
  })

  it.each([
    ['keratometry', 25, 1, 4.5],
    ['refraction', 43, -40, 4.5],
    ['lens position', 43, 1, 0.5],
  ])('refuses a %s outside its range', (quantity, keratometry, refraction, position) => {
    const eye = {
      keratometry: dioptres(keratometry),
      refraction: dioptres(refraction),
      wanted: dioptres(0),
      lensPosition: mm(position),
    }
    expect(secondaryPower(eye)).toMatchObject({ kind: 'outside-domain', quantity })
    expect(exchangePower(dioptres(10), eye)).toMatchObject({ kind: 'outside-domain', quantity })
  })
})

describe('the second eye', () => {
  it('aims half of a hyperopic surprise more myopic', () => {
    const outcome = secondEyeAim(dioptres(-1), dioptres(0.8))
    if (outcome.kind !== 'computed') throw new Error(outcome.reason)
    closeTo(outcome.value.aim, -1.4, 1e-12)
  })
  it('aims half of a myopic surprise less myopic', () => {
    const outcome = secondEyeAim(dioptres(-1), dioptres(-0.8))
    if (outcome.kind !== 'computed') throw new Error(outcome.reason)
    closeTo(outcome.value.aim, -0.6, 1e-12)
  })
  it('asks for the cause of a great error first', () => {
    expect(secondEyeAim(dioptres(-1), dioptres(3.5))).toMatchObject({ reason: expect.stringContaining('find the cause') })
  })
})

describe('separate constants for plus and minus lenses', () => {
  const ask = (pair: (typeof CONSTANT_PAIRS)[number], axialLength: number) => {
    const eye = { axialLength: mm(axialLength), keratometry: dioptres(43), anteriorChamberDepth: mm(3.6) }
    return withSeparateConstants(pair, eye, dioptres(-1))
  }
  const number = (outcome: ReturnType<typeof ask>['withPlusConstant']) => {
    if (outcome.kind !== 'computed') throw new Error(outcome.reason)
    return outcome.value
  }

  it.each(CONSTANT_PAIRS)('%s always comes with the objection and its source', (pair) => {
    const { objection, objectionSource, source } = ask(pair, 30)
    expect(objection).toContain('Contested')
    expect(objectionSource.cite).toContain('Preussner')
    expect(source.cite).toContain('Preussner')
  })

  it('answer with the constant of their own sign away from zero', () => {
    const plus = ask('srk-t-2009', 29)
    expect(plus.consistent).toBe(number(plus.withPlusConstant))
    const minus = ask('srk-t-2009', 34)
    expect(minus.consistent).toBe(number(minus.withMinusConstant))
  })

  it('agree at zero power, where the constant does nothing', () => {
    const zero = ask('srk-t-2009', 32.4)
    closeTo(number(zero.withPlusConstant), number(zero.withMinusConstant), 0.5)
  })

  it('give no number where the constant puts the lens in front of the eye', () => {
    const { withMinusConstant } = ask('srk-t-2009-second', 32)
    expect(withMinusConstant).toMatchObject({ kind: 'outside-domain', quantity: 'effective lens position' })
  })
})
