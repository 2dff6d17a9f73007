/** What could have made an eye end away from its prediction, and how to find out. */
export interface Cause {
  readonly cause: string
  readonly check: string
  readonly source: 'common practice, no source' | 'algebra on the vergence equation'
}

interface ByLensSign {
  /** For a plus lens, for a minus lens, and for one without power, which explains nothing by where it stands. */
  readonly plus: 'hyperopic' | 'myopic'
  readonly minus: 'hyperopic' | 'myopic'
}
type Sign = 'hyperopic' | 'myopic' | 'either' | ByLensSign

const COMMON = 'common practice, no source'
const ALGEBRA = 'algebra on the vergence equation'

const CAUSES: readonly (Cause & { readonly sign: Sign })[] = [
  {
    sign: 'either',
    cause: 'another lens than the one chosen, or the calculation of the other eye',
    check: 'the implant sticker against the plan, side and sign included',
    source: COMMON,
  },
  {
    sign: 'either',
    cause: 'the refraction: too early, oedema, a macula that misleads',
    check: 'refract again when stable, look at cornea and macula',
    source: COMMON,
  },
  {
    sign: 'hyperopic',
    cause: 'axial length taken too long: one index through a long eye, or the bottom of a staphyloma instead of the fovea',
    check: 'length again with fixation, B-scan for the fovea, compare with the length adjustments',
    source: ALGEBRA,
  },
  {
    sign: 'hyperopic',
    cause: 'keratometry too steep: refractive surgery for myopia, dry or worn cornea',
    check: 'history, topography, keratometry again',
    source: ALGEBRA,
  },
  {
    sign: 'myopic',
    cause: 'axial length taken too short: contact ultrasound that pressed the eye, or an off-axis reading',
    check: 'length again, optically now that the cataract is out',
    source: ALGEBRA,
  },
  {
    sign: 'myopic',
    cause: 'ultrasound length with constants for optical lengths',
    check: 'the method on the biometry sheet against the constants used',
    source: ALGEBRA,
  },
  {
    sign: 'myopic',
    cause: 'keratometry too flat: refractive surgery for hyperopia, a contact lens worn before',
    check: 'history, topography, keratometry again',
    source: ALGEBRA,
  },
  {
    sign: { plus: 'hyperopic', minus: 'myopic' },
    cause: 'a lens deeper than predicted: large bag, lens turned or vaulted backwards',
    check: 'chamber depth by biometry, slit lamp',
    source: ALGEBRA,
  },
  {
    sign: { plus: 'myopic', minus: 'hyperopic' },
    cause: 'a lens further forward than predicted: in the sulcus, fluid or viscoelastic behind it, weak zonules',
    check: 'chamber depth by biometry, slit lamp for a distended bag',
    source: ALGEBRA,
  },
]

/**
 * The causes that push a refraction in one direction, for a lens of one sign.
 * @param direction of the surprise; "within" has no cause to look for
 * @param lensSign 1, 0 or -1: the position of a lens without power explains nothing
 */
export function causesOf(direction: 'hyperopic' | 'myopic' | 'within', lensSign: number): readonly Cause[] {
  if (direction === 'within') return []
  const pushes = (sign: Sign): boolean => {
    if (typeof sign === 'string') return sign === 'either' || sign === direction
    return lensSign !== 0 && (lensSign > 0 ? sign.plus : sign.minus) === direction
  }
  return CAUSES.filter(({ sign }) => pushes(sign)).map(({ cause, check, source }) => ({ cause, check, source }))
}
