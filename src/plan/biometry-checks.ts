import type { Case } from '../case/case.js'
import { isDense } from '../case/nuclear-density.js'
import { plausibilityOf } from '../optics/biometry-plausibility.js'
import { KERATOMETRIC_INDEX } from '../optics/keratometry.js'
import type { Source } from '../terms/source.js'
import { dioptres, mm } from '../terms/units.js'
import { lengthMethodOf } from './lens-forecast.js'
import type { BiometryCheck } from './plan.js'

const DEFINITION: Source = { cite: 'definitions of the depth and of the keratometric index', sureness: 'convention' }

const length = (value: number | undefined) => (value === undefined ? undefined : mm(value))
const power = (value: number | undefined) => (value === undefined ? undefined : dioptres(value))

/** A brown or white lens, which light may not cross; undefined when nobody said. */
function denseLens(known: Case): boolean | undefined {
  const band = known.nucleus?.value.band
  const white = known.whiteCataract?.value
  if (white === true || (band !== undefined && isDense(band))) return true
  return band === undefined && white === undefined ? undefined : false
}

/** What was converted when the case was read, so that nobody converts it again. */
function converted(known: Case): BiometryCheck[] {
  const index = known.keratometry?.value.indexGiven
  const from = known.anteriorChamberDepthFrom?.value
  return [
    ...(index !== undefined && index !== KERATOMETRIC_INDEX
      ? [
          {
            id: 'keratometric-index',
            finding: 'within' as const,
            words: `keratometry given at index ${index}, converted through the radius to ${KERATOMETRIC_INDEX}`,
            source: DEFINITION,
          },
        ]
      : []),
    ...(from === 'endothelium' && known.anteriorChamberDepthMm
      ? [
          {
            id: 'depth-definition',
            finding: 'within' as const,
            words: 'the chamber depth was given from the endothelium, and the corneal thickness was added',
            source: DEFINITION,
          },
        ]
      : []),
    ...(from === undefined && known.anteriorChamberDepthMm
      ? [
          {
            id: 'depth-definition',
            finding: 'unknown' as const,
            words:
              'whether the chamber depth is from the epithelium or the endothelium was not stated: taken as from the epithelium',
            source: DEFINITION,
          },
        ]
      : []),
  ]
}

const LENSES_OUT: Source = {
  cite: 'Royal College of Ophthalmologists, Cataract Surgery Guideline, year not seen, as quoted by Goudie C, et al. Eye 2018;32:1048-54',
  sureness: 'secondary',
}
const CONE: Source = { cite: 'Kamiya K, Iijima K, Nobuyuki S, et al. Sci Rep 2018;8:1312', year: 2018, sureness: 'read' }

/** What makes of a keratometry something to measure again, whatever it says. Nothing where it was not stated. */
function corneaToConfirm({ contactLenses, keratoconus, keratometry }: Case): BiometryCheck[] {
  if (keratometry === undefined) return []
  const worn = contactLenses !== undefined && contactLenses.value !== 'none'
  return [
    ...(worn
      ? [
          {
            id: 'contact-lenses',
            finding: 'confirm' as const,
            words: 'contact lenses worn until lately may have bent the cornea that was measured',
            source: LENSES_OUT,
          },
        ]
      : []),
    ...(keratoconus?.value === true
      ? [
          {
            id: 'keratoconus',
            finding: 'confirm' as const,
            words: 'keratometry of a cone leaves the eye hyperopic; no formula here was made for one',
            source: CONE,
          },
        ]
      : []),
  ]
}

/** The case's biometry held against the published recheck limits and against itself. Nothing here blocks a lens. */
export function biometryChecksOf(known: Case): BiometryCheck[] {
  const { flatD, steepD, meanD } = known.keratometry?.value ?? {}
  const findings = plausibilityOf({
    axialLength: length(known.axialLengthMm?.value),
    keratometry: power(meanD),
    cornealAstigmatism: flatD === undefined || steepD === undefined ? undefined : dioptres(steepD - flatD),
    fellowAxialLength: length(known.fellow?.axialLengthMm?.value),
    fellowKeratometry: power(known.fellow?.meanKeratometryD?.value),
    method: lengthMethodOf(known),
    opticalFailed: known.opticalBiometryFailed?.value,
    denseLens: denseLens(known),
    ageMonths: known.biometryAgeMonths?.value,
  })
  return [
    ...findings.map(({ id, finding, words, source }) => ({ id, finding, words, source })),
    ...corneaToConfirm(known),
    ...converted(known),
  ]
}
