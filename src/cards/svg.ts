/** Smallest text of a picture: 720 units are shown about 360 wide on a phone. */
export const TEXT_SIZE = 28

export const INK = '#1d2430'
export const SOFT = '#525c6a'
export const DEEP = '#14506b'
export const SHADE = '#d7e6ee'
export const HAIR = '#b9c0c8'

const XML: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' }
const escaped = (text: string): string => text.replace(/[&<>"]/g, (mark) => XML[mark] ?? mark)

/** Coordinates to a tenth of a unit, so that the same plan draws the same bytes. */
export const at = (value: number): string => (Math.round(value * 10) / 10).toString()

export interface Place {
  readonly x: number
  readonly y: number
}

/** A line of text; a pale edge keeps it readable over lines. */
export function label(
  place: Place,
  words: string,
  look: { readonly bold?: boolean; readonly fill?: string; readonly anchor?: 'start' | 'middle' | 'end' } = {},
): string {
  const weight = look.bold === true ? ' font-weight="700"' : ''
  return `<text x="${at(place.x)}" y="${at(place.y)}" text-anchor="${look.anchor ?? 'start'}" fill="${look.fill ?? INK}"${weight} stroke="#ffffff" stroke-width="6" paint-order="stroke">${escaped(words)}</text>`
}

export interface Stroke {
  readonly stroke: string
  readonly width: number
  readonly dash?: string
}

export function polyline(points: readonly Place[], { stroke, width, dash }: Stroke): string {
  const dashed = dash === undefined ? '' : ` stroke-dasharray="${dash}"`
  const path = points.map(({ x, y }) => `${at(x)},${at(y)}`).join(' ')
  return `<polyline points="${path}" fill="none" stroke="${stroke}" stroke-width="${width}"${dashed} />`
}

/** A whole picture on white paper. */
export const drawing = (size: { readonly width: number; readonly height: number }, parts: readonly string[]): string =>
  [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${size.width} ${size.height}" width="${size.width}" height="${size.height}" font-family="'Noto Sans', 'DejaVu Sans', sans-serif" font-size="${TEXT_SIZE}">`,
    `<rect width="${size.width}" height="${size.height}" fill="#ffffff" />`,
    ...parts,
    '</svg>',
  ].join('\n')
