import { describe, expect, it } from 'vitest'
import { evaluate } from '../../src/optics/formulas.js'
import type { FormulaId } from '../../src/terms/formulas.js'
import { dioptres, mm } from '../../src/terms/units.js'
import { closeTo, lastDigit } from './close-to.js'

/** Three eyes worked step by step by an independent transcription of the equations; the digits are those it printed. */
interface Worked {
  readonly name: string
  readonly eye: { readonly axialLength: number; readonly keratometry: number; readonly anteriorChamberDepth: number }
  readonly aConstant: number
  readonly target: number
  readonly powers: readonly number[]
  readonly steps: Readonly<Partial<Record<FormulaId, Readonly<Record<string, number>>>>>
  /** Optical length, lens position, corneal power, power for emmetropia and for the target, then the refraction with each power. */
  readonly rows: Readonly<Record<FormulaId, readonly number[]>>
}

const EYES: readonly Worked[] = [
  {
    name: 'an eye of 23.50 mm',
    eye: { axialLength: 23.5, keratometry: 43.5, anteriorChamberDepth: 3.1 },
    aConstant: 118.4,
    target: 0,
    powers: [22, 20.5, 15],
    steps: {
      'srk-t': {
        'corneal radius': 7.758621,
        'corrected axial length': 23.5,
        'computed corneal width': 12.57982,
        'corneal height': 3.216239,
      },
      t2: { 'corneal height': 3.228905 },
      'holladay-1': { 'angle-to-angle width': 12.526652, 'anatomical chamber depth': 3.739654 },
      'hoffer-q': { 'chamber depth': 5.107678 },
    },
    rows: {
      'srk-t': [23.68015, 5.09417, 42.92, 20.5637, 20.5637, -1.0217, 0.0445, 3.656],
      t2: [23.68015, 5.10683, 42.92, 20.5877, 20.5877, -1.0033, 0.0612, 3.6673],
      'holladay-1': [23.7, 5.18957, 42.96296, 20.6064, 20.6064, -0.9831, 0.0738, 3.6544],
      'hoffer-q': [23.5, 5.15768, 43.5, 20.5575, 20.5575, -1.0155, 0.0398, 3.6162],
      haigis: [23.5, 5.11693, 42.72667, 21.5888, 21.5888, -0.289, 0.7521, 4.2816],
    },
  },
  {
    name: 'an eye of 30.00 mm',
    eye: { axialLength: 30, keratometry: 43, anteriorChamberDepth: 3.6 },
    aConstant: 119,
    target: -1,
    powers: [5, 0, -5],
    steps: {
      'srk-t': {
        'corneal radius': 7.848837,
        'corrected axial length': 26.704,
        'computed corneal width': 14.40234,
        'corneal height': 4.726756,
      },
      t2: { 'corneal height': 5.28219 },
      'holladay-1': { 'angle-to-angle width': 13.5, 'anatomical chamber depth': 4.403622 },
      'hoffer-q': { 'chamber depth': 7.064755 },
    },
    rows: {
      'srk-t': [30.04826, 6.97949, 42.42667, 3.4057, 5.026, -0.9836, 1.9866, 4.6495],
      t2: [30.04826, 7.53492, 42.42667, 3.5707, 5.2658, -0.8406, 1.9866, 4.5242],
      'holladay-1': [30.2, 6.19332, 42.46914, 2.7713, 4.2946, -1.4752, 1.7325, 4.6026],
      'hoffer-q': [30, 7.11476, 43, 2.607, 4.258, -1.4618, 1.5056, 4.1658],
      haigis: [30, 6.34173, 42.23556, 3.6443, 5.1812, -0.8803, 2.2361, 5.0274],
    },
  },
  {
    name: 'an eye of 34.00 mm, beyond zero power',
    eye: { axialLength: 34, keratometry: 44.5, anteriorChamberDepth: 3.7 },
    aConstant: 119.3,
    target: -2,
    powers: [-4, 0, -10],
    steps: {
      'srk-t': {
        'corneal radius': 7.58427,
        'corrected axial length': 27.5008,
        'computed corneal width': 15.014767,
        'corneal height': 6.50708,
      },
      t2: { 'corneal height': 6.790385 },
      'holladay-1': { 'anatomical chamber depth': 4.686142 },
      'hoffer-q': { 'chamber depth': 7.394041 },
    },
    rows: {
      'srk-t': [33.9671, 8.94721, 43.90667, -8.7971, -4.9494, -2.5202, -4.8402, 0.5919],
      t2: [33.9671, 9.23052, 43.90667, -9.0167, -5.0688, -2.5719, -4.8402, 0.4723],
      'holladay-1': [34.2, 6.64573, 43.95062, -7.7617, -4.602, -2.3978, -5.1906, 1.3331],
      'hoffer-q': [34, 7.44404, 44.5, -8.8627, -5.4586, -2.9053, -5.5528, 0.6353],
      haigis: [34, 6.96913, 43.70889, -7.193, -3.9585, -1.9734, -4.6617, 1.622],
    },
  },
]

describe.each(EYES)('$name', ({ eye, aConstant, target, powers, steps, rows }) => {
  const evaluated = (formula: FormulaId) => {
    const outcome = evaluate(
      formula,
      {
        axialLength: mm(eye.axialLength),
        keratometry: dioptres(eye.keratometry),
        anteriorChamberDepth: mm(eye.anteriorChamberDepth),
      },
      { aConstant },
      { adjustment: 'none' },
    )
    if (outcome.kind !== 'computed') throw new Error(outcome.reason)
    return outcome.value
  }

  it.each(Object.keys(rows) as FormulaId[])('%s goes through the worked steps to the worked answers', (formula) => {
    const { working, effectiveLensPosition, powerFor, refractionFor } = evaluated(formula)
    const step = (name: string) => working().steps.find((each) => each.name === name)?.value ?? Number.NaN
    for (const [name, value] of Object.entries(steps[formula] ?? {})) closeTo(step(name), value, lastDigit(6), name)

    const [length = 0, position = 0, cornea = 0, emmetropia = 0, forTarget = 0, ...refractions] = rows[formula]
    closeTo(step('optical length L'), length, lastDigit(5))
    closeTo(effectiveLensPosition, position, lastDigit(5))
    closeTo(step('corneal power K'), cornea, lastDigit(5))
    closeTo(powerFor(dioptres(0)), emmetropia, lastDigit(4))
    closeTo(powerFor(dioptres(target)), forTarget, lastDigit(4))
    for (const [place, power] of powers.entries()) {
      closeTo(refractionFor(dioptres(power)), refractions[place] ?? Number.NaN, lastDigit(4), `refraction with ${power} D`)
    }
  })
})

describe('the working of an answer', () => {
  it('names what went in, the adjustment and both papers', () => {
    const outcome = evaluate(
      'holladay-1',
      { axialLength: mm(30), keratometry: dioptres(43) },
      { surgeonFactor: mm(1.79) },
      { adjustment: 'wang-koch-2011' },
    )
    if (outcome.kind !== 'computed') throw new Error(outcome.reason)
    const { working, flags } = outcome.value
    expect(working().inputs.map(({ name }) => name)).toEqual([
      'axial length',
      'keratometry',
      'length adjustment',
      'surgeon factor',
    ])
    expect(working().source.cite).toMatch(/1988.*2011/)
    closeTo(working().steps[0]?.value ?? Number.NaN, 0.8289 * 30 + 4.2663, 1e-12)
    expect(flags.map(({ code }) => code)).toEqual(['holladay-1-width-cap'])
  })
})
