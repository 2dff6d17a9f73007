import { unknownMark } from './marks.js'
import { numberOf, short, signOf } from './numbers.js'
import { matchAt, phrases } from './phrases.js'
import { type Fault, fact, type Place, type Reader, type RefractionReading, tokenAt } from './reading.js'
import { shownDioptres, signed, signedAt } from './signed-dioptres.js'
import { unitAt } from './units-written.js'

const REFRACTION = [
  'refraction',
  'rx',
  'rfx',
  'refr',
  'ref',
  'glasses',
  'specs',
  'spectacles',
  'mrx',
  'autoref',
  'autorefraction',
  'ar',
  'manifest',
  'manifest refraction',
  'current refraction',
  'previous refraction',
  'old refraction',
  'subjective',
  'wears',
  'prescription',
]
const EQUIVALENT = ['se', 'spherical equivalent', 'sph eq', 'refraction se', 'se refraction', 'seq', 'mse']
export const REFRACTION_FORMS = phrases([
  ...REFRACTION.map((form) => [form, 'refraction'] as const),
  ...EQUIVALENT.map((form) => [form, 'equivalent'] as const),
])
export const PLANO_FORMS = phrases(
  ['plano', 'plan o', 'emmetropia', 'emmetropic', 'emmetrope', 'emm', 'emmet', 'distance', 'pl'].map(
    (form) => [form, true] as const,
  ),
)

const EXAMPLES = { refraction: 'refraction', 'fellow.refractionD': 'fellow eye', targetRefractionD: 'target' } as const

export const signMissing = (field: keyof typeof EXAMPLES, text: string): Fault => ({
  kind: 'sign',
  field,
  blocks: true,
  message: `${EXAMPLES[field]} ${text} has no sign, and the sign decides the lens.`,
  instead: `${EXAMPLES[field]} -${text} or ${EXAMPLES[field]} +${text}`,
})

export const range = (field: keyof typeof EXAMPLES, text: string, low: number, high: number): Fault => ({
  kind: 'out-of-range',
  field,
  blocks: true,
  message: `${EXAMPLES[field]} ${text} D is outside ${low} to +${high} D.`,
  instead: `${EXAMPLES[field]} -1.75, in dioptres with its sign`,
})

interface Full extends RefractionReading {
  readonly used: number
}

/** Sphere, cylinder and axis: "-14.50/-1.25x170", "-14.50 -1.25 x 170", "-14.50 DS / -1.25 DC x 170". */
function refractionAt(place: Place, offset: number): Full | { readonly used: number; readonly fault: Fault } | undefined {
  const sphere = signedAt(place, offset)
  if (sphere === undefined) return undefined
  let used = sphere.used
  const unit = unitAt(place, offset + used)
  if (unit?.unit === 'D') used += unit.used
  if (tokenAt(place, offset + used)?.lower === 'sph') used += 1
  if (!sphere.signed) return { used, fault: signMissing('refraction', sphere.text) }
  if (sphere.value < -50 || sphere.value > 30) return { used, fault: range('refraction', signed(sphere.value), -50, 30) }
  const joint = tokenAt(place, offset + used)?.text
  const skipped = joint === '/' || joint === ',' ? 1 : 0
  const token = tokenAt(place, offset + used + skipped)
  const cylinder = token?.kind === 'number' && signOf(token) !== undefined ? numberOf(token) : undefined
  if (cylinder === undefined) return { used, sphereD: sphere.value, sphericalEquivalentD: sphere.value }
  let at = used + skipped + 1
  if (['dc', 'd', 'cyl'].includes(tokenAt(place, offset + at)?.lower ?? '')) at += 1
  const mark = tokenAt(place, offset + at)
  const axis =
    mark !== undefined && ['x', '@', '/', 'ax', 'axis'].includes(mark.lower) ? tokenAt(place, offset + at + 1) : undefined
  if (axis?.kind !== 'number')
    return skipped === 1 && joint === ','
      ? { used, sphereD: sphere.value, sphericalEquivalentD: sphere.value }
      : withCylinder(at, sphere.value, cylinder, undefined)
  at += 2
  const degrees = unitAt(place, offset + at)
  if (degrees?.unit === '°') at += degrees.used
  const axisDeg = numberOf(axis)
  if (axisDeg > 180 || Math.abs(cylinder) > 15) {
    return {
      used: at,
      fault: {
        kind: 'out-of-range',
        field: 'refraction',
        blocks: true,
        message: `cylinder ${signed(cylinder)} D at ${axis.text}° is outside −15 to +15 D at 0 to 180°.`,
        instead: 'refraction -14.50/-1.25x170',
      },
    }
  }
  return withCylinder(at, sphere.value, cylinder, axisDeg)
}

const withCylinder = (used: number, sphereD: number, cylinderD: number, axisDeg: number | undefined): Full => ({
  used,
  sphereD,
  cylinderD,
  ...(axisDeg === undefined ? {} : { axisDeg }),
  sphericalEquivalentD: sphereD + cylinderD / 2,
})

const words = (reading: RefractionReading): string => {
  if (reading.cylinderD === undefined) return shownDioptres(reading.sphereD)
  const axis = reading.axisDeg === undefined ? '' : ` at ${short(reading.axisDeg, 0)}°`
  return `${shownDioptres(reading.sphereD)} sphere, ${shownDioptres(reading.cylinderD)} cylinder${axis} (equivalent ${shownDioptres(reading.sphericalEquivalentD)})`
}

function finish(found: ReturnType<typeof refractionAt>, used: number, assumed: string | undefined): ReturnType<Reader> {
  if (found === undefined) return undefined
  if ('fault' in found) return { used: used + found.used, faults: [found.fault] }
  const { used: taken, ...reading } = found
  return { used: used + taken, facts: [fact('refraction', 'refraction', reading, words(reading), assumed)] }
}

/** A refraction with its name: "refraction -14.50/-1.25x170", "SE -15", "glasses plano". */
export const readRefraction: Reader = (place) => {
  const match = matchAt(REFRACTION_FORMS, place.tokens, place.at)
  if (match === undefined) return undefined
  let used = match.used
  if ([':', '=', 'of', 'is', 'was', 'about'].includes(tokenAt(place, used)?.lower ?? '')) used += 1
  const plano = matchAt(PLANO_FORMS, place.tokens, place.at + used)
  if (plano !== undefined && match.value === 'refraction') {
    return {
      used: used + plano.used,
      facts: [fact('refraction', 'refraction', { sphereD: 0, sphericalEquivalentD: 0 }, '0.00 D')],
    }
  }
  const unknown = tokenAt(place, used)?.kind === 'number' ? 0 : unknownMark(place, used)
  if (unknown > 0) return { used: used + unknown, facts: [fact('refraction', 'refraction', undefined, 'not known')] }
  return finish(refractionAt(place, used), used, match.value === 'equivalent' ? 'given as the spherical equivalent' : undefined)
}

/** What is noted of a refraction that stands after a lens status and takes its eye from there. */
export const OF_THE_LENS_NAMED = 'read as the refraction of the eye whose lens was just named'

/** A signed value without a name: the fellow eye's after its name, or a full refraction that can be nothing else. */
export const readBareRefraction: Reader = (place) => {
  const token = tokenAt(place, 0)
  const isOfLens = place.last === 'lensStatus' && place.since <= 1
  if (token?.lower === 'plano' && (place.side === 'fellow' || isOfLens)) {
    return {
      used: 1,
      facts: [
        fact(
          'refraction',
          'refraction',
          { sphereD: 0, sphericalEquivalentD: 0 },
          '0.00 D',
          isOfLens && place.side !== 'fellow' ? OF_THE_LENS_NAMED : 'read as the refraction',
        ),
      ],
    }
  }
  if (token?.kind !== 'number' || signOf(token) === undefined) return undefined
  const found = refractionAt(place, 0)
  if (found === undefined || 'fault' in found) return place.side === 'fellow' ? finish(found, 0, undefined) : undefined
  const isSphere = ['ds', 'sph'].includes(tokenAt(place, 1)?.lower ?? '')
  if (place.side !== 'fellow' && !isOfLens && !isSphere && found.cylinderD === undefined) return undefined
  return finish(found, 0, isOfLens && place.side !== 'fellow' ? OF_THE_LENS_NAMED : 'read as the refraction')
}
