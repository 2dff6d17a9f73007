import { at, DEEP, HAIR, INK, type Place, polyline, SOFT } from './svg.js'

/** Millimetres along the axis from the corneal apex. */
export interface EyeShape {
  readonly axialLengthMm: number
  /** Corneal epithelium to the front of the lens. */
  readonly chamberDepthMm?: number | undefined
  readonly lensThicknessMm?: number | undefined
  /** Where the implanted lens is expected to sit; absent draws none. */
  readonly implantAtMm?: number | undefined
}

/**
 * Gullstrand's schematic eye No. 1, relaxed: the average to compare with.
 * Source: Gullstrand A, in Helmholtz H. Handbuch der physiologischen Optik, 3rd ed., 1909, appendix; from memory of the text.
 */
export const SCHEMATIC_EYE = { axialLengthMm: 24.385, chamberDepthMm: 3.6, lensThicknessMm: 3.6 } as const

// Drawn alike in every eye, because a case does not state them: the height of the globe, the corneal arc and the lens rim.
const GLOBE_HALF_HEIGHT = 12
const CORNEAL_RADIUS = 7.8
const CORNEAL_HALF_WIDTH = 5.75
const CORNEAL_SAGITTA = CORNEAL_RADIUS - Math.sqrt(CORNEAL_RADIUS * CORNEAL_RADIUS - CORNEAL_HALF_WIDTH * CORNEAL_HALF_WIDTH)
const LENS_HALF_HEIGHT = 4.6
const IMPLANT = { halfThickness: 0.4, halfHeight: 3, reach: 5.6 } as const

/**
 * The globe in section, corneal apex at `apex`, facing left. The ellipse meets the cornea at its rim and ends at the axial length.
 * @param scale units of the picture per millimetre
 */
export function eyeSection(shape: EyeShape, apex: Place, scale: number): readonly string[] {
  const x = (mm: number): number => apex.x + mm * scale
  const y = (mm: number): number => apex.y + mm * scale
  const rim = CORNEAL_HALF_WIDTH / GLOBE_HALF_HEIGHT
  const halfLength = (shape.axialLengthMm - CORNEAL_SAGITTA) / (1 + Math.sqrt(1 - rim * rim))
  const [top, bottom] = [y(-CORNEAL_HALF_WIDTH), y(CORNEAL_HALF_WIDTH)]
  const limbus = at(x(CORNEAL_SAGITTA))
  const globe = `M ${limbus} ${at(top)} A ${at(halfLength * scale)} ${at(GLOBE_HALF_HEIGHT * scale)} 0 1 1 ${limbus} ${at(bottom)}`
  const radius = at(CORNEAL_RADIUS * scale)
  return [
    `<path d="${globe}" fill="none" stroke="${INK}" stroke-width="4" />`,
    `<path d="M ${limbus} ${at(bottom)} A ${radius} ${radius} 0 0 1 ${limbus} ${at(top)}" fill="none" stroke="${INK}" stroke-width="3" />`,
    ...naturalLens(shape, x, apex.y, scale),
    ...implant(shape, x, apex.y, scale),
    axis(x(0), x(shape.axialLengthMm), apex.y),
  ]
}

function naturalLens(shape: EyeShape, x: (mm: number) => number, middle: number, scale: number): readonly string[] {
  const { chamberDepthMm: depth, lensThicknessMm: thickness } = shape
  if (depth === undefined || thickness === undefined) return []
  const centre = at(x(depth + thickness / 2))
  const dashed = shape.implantAtMm === undefined ? '' : ' stroke-dasharray="3 7"'
  return [
    `<ellipse cx="${centre}" cy="${at(middle)}" rx="${at((thickness / 2) * scale)}" ry="${at(LENS_HALF_HEIGHT * scale)}" fill="none" stroke="${SOFT}" stroke-width="3"${dashed} />`,
  ]
}

function implant(shape: EyeShape, x: (mm: number) => number, middle: number, scale: number): readonly string[] {
  if (shape.implantAtMm === undefined) return []
  const centre = x(shape.implantAtMm)
  const reach = IMPLANT.reach * scale
  return [
    polyline(
      [
        { x: centre, y: middle - reach },
        { x: centre, y: middle + reach },
      ],
      { stroke: DEEP, width: 3 },
    ),
    `<ellipse cx="${at(centre)}" cy="${at(middle)}" rx="${at(IMPLANT.halfThickness * scale)}" ry="${at(IMPLANT.halfHeight * scale)}" fill="${DEEP}" />`,
  ]
}

const axis = (from: number, to: number, y: number): string =>
  polyline(
    [
      { x: from, y },
      { x: to, y },
    ],
    { stroke: HAIR, width: 2, dash: '2 6' },
  )
