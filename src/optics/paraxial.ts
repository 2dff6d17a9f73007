import { type Dioptres, dioptres, type Millimetres, mm } from '../terms/units.js'
import { refractionAtSpectacle, VERTEX_DISTANCE } from './vergence.js'

/** One refracting surface and what follows it. A plane has an infinite radius; convex to the light is positive. */
export interface Surface {
  /** Radius of curvature at the vertex, mm. */
  readonly radius: Millimetres
  /** Conic constant of the asphere, 0 for a sphere; only a real ray sees it. */
  readonly conic?: number
  /** To the next surface, mm; the last one's reaches the retina. */
  readonly thickness: Millimetres
  /** Refractive index behind the surface. */
  readonly index: number
}

/** Cardinal points of a system of surfaces in air. */
export interface ParaxialSystem {
  /** Equivalent power. */
  readonly power: Dioptres
  /** Last surface to second focus. */
  readonly backFocalLength: Millimetres
  /** First surface to retina. */
  readonly length: Millimetres
}

const AIR = 1

const powerOf = (surface: Surface, indexBefore: number): number => (1000 * (surface.index - indexBefore)) / surface.radius

/**
 * Power of a thick lens and where its principal points lie.
 *
 * - Domain: lens thinner than the distance between its foci.
 * - Source: standard paraxial optics.
 *
 * @example
 * ```ts
 * thickLens({ front: mm(12), back: mm(-12), thickness: mm(0.9), index: 1.46, medium: 1.336 })
 * // => { power: 20.600845, firstPrincipal: 0.413097, secondPrincipal: -0.413097 }
 * ```
 * @param lens radii and thickness in mm, refractive indices of lens and medium
 * @returns power in dioptres; first principal point from the front vertex and second from the back vertex, mm, + towards the retina
 */
export function thickLens(lens: {
  readonly front: Millimetres
  readonly back: Millimetres
  readonly thickness: Millimetres
  readonly index: number
  readonly medium: number
}): { readonly power: Dioptres; readonly firstPrincipal: Millimetres; readonly secondPrincipal: Millimetres } {
  const front = (1000 * (lens.index - lens.medium)) / lens.front
  const back = (1000 * (lens.medium - lens.index)) / lens.back
  const reduced = lens.thickness / lens.index
  const power = front + back - (reduced / 1000) * front * back
  return {
    power: dioptres(power),
    firstPrincipal: mm((lens.medium * reduced * back) / power),
    secondPrincipal: mm((-lens.medium * reduced * front) / power),
  }
}

/**
 * Equivalent power and back focal length of a row of surfaces, light coming from air.
 *
 * - Domain: at least one surface.
 * - Source: standard paraxial ray trace.
 *
 * @param surfaces front to back
 */
export function paraxialSystem(surfaces: readonly Surface[]): ParaxialSystem {
  let height = 1
  let angle = 0
  let indexBefore = AIR
  let heightAtLast = 1
  let length = 0
  for (const surface of surfaces) {
    angle -= (height * powerOf(surface, indexBefore)) / 1000
    heightAtLast = height
    height += (surface.thickness * angle) / surface.index
    indexBefore = surface.index
    length += surface.thickness
  }
  return {
    power: dioptres(-1000 * angle),
    backFocalLength: mm((-heightAtLast * indexBefore) / angle),
    length: mm(length),
  }
}

/**
 * Paraxial refraction of an eye: the spectacle lens that focuses distance on its retina.
 *
 * - Domain: the last thickness reaches the retina.
 * - Source: standard; vergence carried from the retina outwards.
 *
 * @param eye surfaces from the front of the cornea to the back of the lens
 * @param vertexDistance mm from spectacle lens to cornea
 * @returns dioptres at the corneal and at the spectacle plane
 */
export function paraxialRefraction(
  eye: readonly Surface[],
  vertexDistance: Millimetres = VERTEX_DISTANCE,
): { readonly atCornea: Dioptres; readonly atSpectacle: Dioptres } {
  // Carried as reduced distance to the image, so that parallel light inside the eye needs no case of its own.
  let height = 0
  let angle = 1
  for (const [place, surface] of [...eye.entries()].reverse()) {
    height -= (surface.thickness * angle) / surface.index
    const indexBefore = eye[place - 1]?.index ?? AIR
    angle += (height * powerOf(surface, indexBefore)) / 1000
  }
  const atCornea = dioptres((-1000 * angle) / height)
  return { atCornea, atSpectacle: refractionAtSpectacle(atCornea, vertexDistance) }
}
