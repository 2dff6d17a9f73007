import { describe, expect, it } from 'vitest'
import { type SurpriseOptions, surpriseCommand } from '../../adapters/surprise-command.js'
import { thinLensRefraction } from '../../src/optics/vergence.js'
import { explainSurprise, type OperatedEye, type Surprise } from '../../src/plan/after-surgery.js'
import { dioptres, mm } from '../../src/terms/units.js'

const [LENGTH, CORNEA, POSITION] = [29, 42.65, 5.6]
const leaves = (power: number, { length = LENGTH, cornea = CORNEA, position = POSITION } = {}) =>
  thinLensRefraction(mm(length), dioptres(cornea), mm(position), dioptres(power))

const explained = (parts: Partial<OperatedEye>): Surprise => {
  const outcome = explainSurprise({
    eye: 'left',
    implantedD: 9,
    predictedD: -1.75,
    achievedD: leaves(9),
    keratometryD: CORNEA,
    position: { kind: 'stated', lensPositionMm: POSITION },
    ...parts,
  })
  if ('kind' in outcome) throw new Error(outcome.reason)
  return outcome
}

describe('the exchange lens', () => {
  it.each([
    [9, -1.75],
    [-4, -0.5],
    [0, 0],
  ])('after %d D leaves %d D in the eye that the implanted lens revealed', (implantedD, wantedD) => {
    const { exchange } = explained({ implantedD, achievedD: leaves(implantedD), wantedD })
    expect(leaves(exchange.powerD ?? Number.NaN)).toBeCloseTo(wantedD, 9)
    expect(exchange.working?.steps[0]?.value).toBe(exchange.powerD)
  })

  it('is the implanted one when nothing else is wanted', () => {
    expect(explained({ wantedD: leaves(9) }).exchange.powerD).toBeCloseTo(9, 9)
  })

  it('has no added lens beside it unless its position was stated', () => {
    expect(explained({}).added).toBeUndefined()
    expect(explained({ addedLensPositionMm: 4.5 }).added?.powerD).toBeDefined()
  })

  it('is refused outside the domain of its method, with the reason', () => {
    expect(explainSurprise({ ...base(), keratometryD: 70 })).toMatchObject({ kind: 'outside-domain' })
  })

  it.each([{ implantedD: Number.NaN }, { predictedD: Number.NaN }, { achievedD: Number.NaN }, { implantedD: 90 }])(
    'is refused where a number is none, or no lens: %o',
    (parts) => {
      expect(explainSurprise({ ...base(), ...parts })).toMatchObject({ kind: 'outside-domain' })
    },
  )
})

const base = (): OperatedEye => ({
  eye: 'right',
  implantedD: 9,
  predictedD: -1.75,
  achievedD: 0.5,
  keratometryD: CORNEA,
  position: { kind: 'stated', lensPositionMm: POSITION },
})

describe('what would explain a surprise', () => {
  const amounts = ({ equivalents }: Surprise) => Object.fromEntries(equivalents.map(({ quantity, amount }) => [quantity, amount]))

  it('is an error that, put back into the optics, gives the surprise', () => {
    const predictedD = leaves(9) - 0.6
    const found = amounts(explained({ predictedD }))
    const moved = {
      'axial length': leaves(9) - leaves(9, { length: LENGTH - (found['axial length'] ?? 0) }),
      keratometry: leaves(9) - leaves(9, { cornea: CORNEA - (found['keratometry'] ?? 0) }),
      'lens power': leaves(9) - leaves(9 - (found['lens power'] ?? 0)),
    }
    for (const [quantity, by] of Object.entries(moved)) expect(by, quantity).toBeCloseTo(0.6, 1)
  })

  it('turns round with the sign of the lens where the position is to blame', () => {
    const words = (implantedD: number) =>
      explained({ implantedD, achievedD: leaves(implantedD), predictedD: leaves(implantedD) - 1 })
        .causes.map(({ cause }) => cause)
        .join(' ')
    expect(words(9)).toMatch(/deeper than predicted/)
    expect(words(-6)).toMatch(/further forward than predicted/)
    expect(words(0)).not.toMatch(/than predicted/)
  })

  it('is a length taken too long for a hyperopic one, too short for a myopic one, and nothing within half a dioptre', () => {
    const of = (error: number) => explained({ predictedD: leaves(9) - error })
    expect(of(1)).toMatchObject({ direction: 'hyperopic' })
    expect(of(1).causes.some(({ cause }) => cause.includes('too long'))).toBe(true)
    expect(of(-1).causes.some(({ cause }) => cause.includes('too short'))).toBe(true)
    expect(of(0.3)).toMatchObject({ direction: 'within', causes: [], equivalents: [] })
  })
})

describe('the command for a surprise', () => {
  function ran(options: SurpriseOptions) {
    const said = { out: '', err: '' }
    const terminal = {
      out: (text: string) => {
        said.out += text
      },
      err: (text: string) => {
        said.err += text
      },
      width: 100,
      today: '2026-03-02',
    }
    return { code: surpriseCommand(options, terminal), ...said }
  }
  const whole: SurpriseOptions = {
    eye: 'left',
    implanted: '+9.0',
    predicted: '\u22121.75',
    achieved: '+0,50',
    keratometry: '42.65',
    lensPosition: '5.6',
  }

  it('says side, surprise and signed powers', () => {
    const { code, out } = ran(whole)
    expect(code).toBe(0)
    expect(out).toMatch(/^Left eye \(OS\)\. Predicted \u22121\.75 D, found \+0\.50 D: \+2\.25 D, a hyperopic surprise/)
    expect(out).toMatch(/exchange for \+1\d\.\d/)
  })

  it('takes the position from axial length and A-constant', () => {
    const { lensPosition: _, ...rest } = whole
    expect(ran({ ...rest, axialLength: '29.6', aConstant: '118.9' }).out).toMatch(/not a measured one/)
  })

  it.each([
    [{ implanted: '9.0' }, /--implanted "9\.0": the sign is missing/],
    [{ achieved: 'plano' }, /--achieved "plano": this is not a number/],
    [{ keratometry: '7.8' }, /--keratometry "7\.8": it is outside 30 to 60 D/],
    [{ eye: 'both' }, /--eye is missing or unknown/],
  ])('refuses %j and says what to write', (parts, fault) => {
    const { code, err, out } = ran({ ...whole, ...parts })
    expect([code, out]).toEqual([2, ''])
    expect(err).toMatch(fault)
    expect(err).toMatch(/Write/)
  })

  it('says everything that is missing at once', () => {
    expect(ran({}).err.trim().split('\n').length).toBe(6)
  })
})
