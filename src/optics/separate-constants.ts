import type { FormulaId } from '../terms/formulas.js'
import { computed, type Outcome } from '../terms/outcome.js'
import type { Source } from '../terms/source.js'
import { type Dioptres, mm } from '../terms/units.js'
import { evaluate } from './formulas.js'
import type { EyeMeasurements, LensConstants } from './lens-formula.js'

interface Pair {
  readonly formula: FormulaId
  readonly plus: LensConstants
  readonly minus: LensConstants
  readonly source: Source
}

const RESTATED = 'as restated in Preussner P-R. J Cataract Refract Surg 2010;36:531-532'
const haigisWith = (a0: number): LensConstants => ({ haigis: { a0: mm(a0), a1: 0.4, a2: 0.1 } })

/** The published pairs. They come from separate optimisations and do not convert into each other. */
const PAIRS = {
  'haigis-2009': {
    formula: 'haigis',
    plus: haigisWith(2.77),
    minus: haigisWith(1.73),
    source: {
      cite: `Haigis W. Intraocular lens calculation in extreme myopia. J Cataract Refract Surg 2009;35:906-911, ${RESTATED}; a1 and a2 standard`,
      year: 2009,
      sureness: 'secondary',
    },
  },
  'srk-t-2009': {
    formula: 'srk-t',
    plus: { aConstant: 121.2 },
    minus: { aConstant: 114.4 },
    source: {
      cite: `Haigis W. Intraocular lens calculation in extreme myopia. J Cataract Refract Surg 2009;35:906-911, ${RESTATED}`,
      year: 2009,
      sureness: 'secondary',
    },
  },
  'srk-t-2009-second': {
    formula: 'srk-t',
    plus: { aConstant: 126.63 },
    minus: { aConstant: 104.43 },
    source: {
      cite: `Petermeier K et al. J Cataract Refract Surg 2009;35:1575-1581, ${RESTATED}`,
      year: 2009,
      sureness: 'secondary',
    },
  },
} as const satisfies Readonly<Record<string, Pair>>

export type ConstantPair = keyof typeof PAIRS
export const CONSTANT_PAIRS = Object.keys(PAIRS) as ConstantPair[]

export interface SeparateConstants {
  readonly formula: FormulaId
  /** No number where the constant puts the lens outside the eye, as one published pair does. */
  readonly withPlusConstant: Outcome<Dioptres>
  readonly withMinusConstant: Outcome<Dioptres>
  /** The power whose own sign agrees with the constant that gave it; absent when both or neither does. */
  readonly consistent?: Dioptres
  readonly source: Source
  /** Always shown with the numbers. */
  readonly objection: string
  readonly objectionSource: Source
}

const OBJECTION =
  'Contested: the properties of a lens pass smoothly through zero power and shape effects are tenths of a dioptre, while these constants differ by several millimetres of lens position; near zero power they are arbitrary. The usual cause of the error they repair is the axial length.'
const UNDECIDED = ' Here neither answer can be preferred.'

/**
 * Lens power by separate constants for plus and minus lenses, only where a department asks for them by name.
 *
 * - Domain: as the formula; never together with a length adjustment.
 * - Source: the pairs carry theirs. Objection: Preussner P-R. J Cataract Refract Surg 2010;36:531-532.
 *
 * @param pair which published pair
 * @param eye measurements of the eye
 * @param target refraction wanted, dioptres at the spectacle plane
 */
export function withSeparateConstants(pair: ConstantPair, eye: EyeMeasurements, target: Dioptres): SeparateConstants {
  const { formula, plus, minus, source }: Pair = PAIRS[pair]
  const powerBy = (constants: LensConstants): Outcome<Dioptres> => {
    const outcome = evaluate(formula, eye, constants, { adjustment: 'none' })
    return outcome.kind === 'computed' ? computed(outcome.value.powerFor(target)) : outcome
  }
  const withPlusConstant = powerBy(plus)
  const withMinusConstant = powerBy(minus)
  const candidates = [
    ...(withPlusConstant.kind === 'computed' && withPlusConstant.value > 0 ? [withPlusConstant.value] : []),
    ...(withMinusConstant.kind === 'computed' && withMinusConstant.value < 0 ? [withMinusConstant.value] : []),
  ]
  const [only, another] = candidates
  const consistent = another === undefined ? only : undefined
  return {
    formula,
    withPlusConstant,
    withMinusConstant,
    ...(consistent === undefined ? {} : { consistent }),
    source,
    objection: consistent === undefined ? OBJECTION + UNDECIDED : OBJECTION,
    objectionSource: { cite: 'Preussner P-R. J Cataract Refract Surg 2010;36:531-532', year: 2010, sureness: 'read' },
  }
}
