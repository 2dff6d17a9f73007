import { computed, type Outcome } from '../terms/outcome.js'
import { type Dioptres, dioptres, type Millimetres, mm } from '../terms/units.js'
import { noAnswer } from './no-answer.js'
import type { Surface } from './paraxial.js'
import { refractionAtSpectacle, VERTEX_DISTANCE } from './vergence.js'

/** A ray in the plane that holds the axis: a point on it, mm from the vertex of the next surface, and its direction cosines. */
interface Ray {
  readonly along: number
  readonly height: number
  readonly cosine: number
  readonly sine: number
}

const AIR = 1

/**
 * Refracts a ray exactly at one conic surface; undefined where the ray misses the surface or is totally reflected.
 * The square-root forms divide by nothing that vanishes for a plane or a paraboloid.
 */
function refracted(ray: Ray, surface: Surface, indexBefore: number): Ray | undefined {
  const curvature = 1 / surface.radius
  const shape = 1 + (surface.conic ?? 0)
  const { along, height, cosine, sine } = ray
  const a = curvature * (sine * sine + shape * cosine * cosine)
  const b = curvature * (height * sine + shape * along * cosine) - cosine
  const c = curvature * (height * height + shape * along * along) - 2 * along
  const reach = b * b - a * c
  if (!(reach >= 0)) return undefined
  const path = c / (-b + Math.sqrt(reach))
  const at = along + path * cosine
  const up = height + path * sine

  const normalUp = -curvature * up
  const normalAlong = 1 - curvature * shape * at
  const size = Math.sqrt(normalUp * normalUp + normalAlong * normalAlong)
  const incidence = (cosine * normalAlong + sine * normalUp) / size
  const ratio = indexBefore / surface.index
  const beyond = 1 - ratio * ratio * (1 - incidence * incidence)
  if (!(beyond >= 0) || !(incidence > 0)) return undefined
  const bend = (Math.sqrt(beyond) - ratio * incidence) / size
  return {
    along: at - surface.thickness,
    height: up,
    cosine: ratio * cosine + bend * normalAlong,
    sine: ratio * sine + bend * normalUp,
  }
}

const lost = (height: number) =>
  noAnswer('ray height', height, 'mm', `A ray at ${height} mm misses a surface of this eye or is totally reflected.`)

/**
 * Where a ray that enters parallel to the axis crosses it again, traced exactly.
 *
 * - Domain: the ray meets every surface and is not totally reflected; height above zero.
 * - Source: Snell's law in vector form at conics of revolution.
 *
 * @param surfaces front to back, light from air
 * @param height mm above the axis
 * @returns mm behind the last surface
 */
export function axisCrossing(surfaces: readonly Surface[], height: Millimetres): Outcome<Millimetres> {
  let ray: Ray | undefined = { along: 0, height, cosine: 1, sine: 0 }
  let indexBefore = AIR
  for (const surface of surfaces) {
    ray = refracted(ray, surface, indexBefore)
    if (ray === undefined) return lost(height)
    indexBefore = surface.index
  }
  const back = surfaces.at(-1)?.thickness ?? 0
  return computed(mm(ray.along + back - (ray.height * ray.cosine) / ray.sine))
}

/** The same eye as light meets it from the retina: surfaces in reverse, curved the other way. */
function reversed(eye: readonly Surface[]): { readonly before: number; readonly depth: number; readonly surfaces: Surface[] } {
  const surfaces = eye
    .map((surface, place) => ({
      radius: mm(-surface.radius),
      ...(surface.conic === undefined ? {} : { conic: surface.conic }),
      thickness: mm(eye[place - 1]?.thickness ?? 0),
      index: eye[place - 1]?.index ?? AIR,
    }))
    .reverse()
  const last = eye.at(-1)
  return { before: last?.index ?? AIR, depth: last?.thickness ?? 0, surfaces }
}

/**
 * Refraction of an eye for a ray through one zone of the pupil, traced exactly from the retina outwards.
 * As the zone shrinks it becomes the paraxial refraction; the difference is the spherical aberration of the zone.
 *
 * - Domain: the ray meets every surface and is not totally reflected.
 * - Source: Snell's law in vector form at conics of revolution.
 *
 * @param eye surfaces from the front of the cornea to the back of the lens, the last thickness reaching the retina
 * @param zone about how far from the axis the ray leaves the eye, mm
 * @param vertexDistance mm from spectacle lens to cornea
 * @returns dioptres at the corneal and the spectacle plane, and the height at which the ray leaves the cornea, mm
 */
export function realRayRefraction(
  eye: readonly Surface[],
  zone: Millimetres,
  vertexDistance: Millimetres = VERTEX_DISTANCE,
): Outcome<{ readonly atCornea: Dioptres; readonly atSpectacle: Dioptres; readonly height: Millimetres }> {
  const { before, depth, surfaces } = reversed(eye)
  const total = eye.reduce((sum, { thickness }) => sum + thickness, 0)
  const slope = zone / total
  const size = Math.sqrt(1 + slope * slope)
  let ray: Ray | undefined = { along: -depth, height: 0, cosine: 1 / size, sine: slope / size }
  let indexBefore = before
  for (const surface of surfaces) {
    ray = refracted(ray, surface, indexBefore)
    if (ray === undefined) return lost(zone)
    indexBefore = surface.index
  }
  // Vergence at the vertex of the cornea: one over the distance at which the ray leaving the eye meets the axis.
  const tangent = ray.sine / ray.cosine
  const height = ray.height - ray.along * tangent
  const atCornea = dioptres((1000 * tangent) / height)
  return computed({ atCornea, atSpectacle: refractionAtSpectacle(atCornea, vertexDistance), height: mm(ray.height) })
}
