import { deflateSync, inflateSync } from 'node:zlib'

/**
 * A PNG again in sixteen colours or fewer, half a byte a point or less: a line drawing becomes about a tenth of its size, and
 * so fits into a message. PNG: ISO/IEC 15948 (www.w3.org/TR/png-3).
 */

const SIGNATURE = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a])
const CHANNELS = 4

interface Image {
  readonly width: number
  readonly height: number
  /** Red, green, blue and opacity of each point, row by row. */
  readonly points: Uint8Array
}

/** A drawing of lines and areas needs sixteen; text and bars are still read in four. */
export type Colours = 16 | 4

/** @param png eight bits a channel with opacity, not interlaced, as our drawings are; anything else is given back as it is */
export function inFewColours(png: Uint8Array, colours: Colours = 16): Uint8Array {
  const image = decoded(Buffer.from(png))
  return image === undefined ? png : encoded(image, colours)
}

function decoded(png: Buffer): Image | undefined {
  if (!png.subarray(0, 8).equals(SIGNATURE)) return undefined
  const parts: Buffer[] = []
  let size: { width: number; height: number } | undefined
  for (let at = 8; at + 12 <= png.length; ) {
    const length = png.readUInt32BE(at)
    const body = png.subarray(at + 8, at + 8 + length)
    const type = png.toString('latin1', at + 4, at + 8)
    if (type === 'IHDR') {
      const [depth, colour, , , interlaced] = body.subarray(8)
      if (depth !== 8 || colour !== 6 || interlaced !== 0) return undefined
      size = { width: body.readUInt32BE(0), height: body.readUInt32BE(4) }
    } else if (type === 'IDAT') parts.push(body)
    at += 12 + length
  }
  return size && { ...size, points: unfiltered(inflateSync(Buffer.concat(parts)), size.width, size.height) }
}

/** Each row was stored as differences from its left, its upper or its upper left neighbours. */
function unfiltered(stored: Buffer, width: number, height: number): Uint8Array {
  const row = width * CHANNELS
  const points = new Uint8Array(row * height)
  for (let y = 0; y < height; y++) {
    const filter = stored[y * (row + 1)] ?? 0
    if (filter === 0) {
      points.set(stored.subarray(y * (row + 1) + 1, (y + 1) * (row + 1)), y * row)
      continue
    }
    for (let x = 0; x < row; x++) {
      const left = x < CHANNELS ? 0 : (points[y * row + x - CHANNELS] ?? 0)
      const up = y === 0 ? 0 : (points[(y - 1) * row + x] ?? 0)
      const corner = x < CHANNELS || y === 0 ? 0 : (points[(y - 1) * row + x - CHANNELS] ?? 0)
      points[y * row + x] = (stored[y * (row + 1) + 1 + x] ?? 0) + predicted(filter, left, up, corner)
    }
  }
  return points
}

function predicted(filter: number, left: number, up: number, corner: number): number {
  if (filter === 1) return left
  if (filter === 2) return up
  if (filter === 3) return (left + up) >> 1
  if (filter !== 4) return 0
  const estimate = left + up - corner
  const [byLeft, byUp, byCorner] = [Math.abs(estimate - left), Math.abs(estimate - up), Math.abs(estimate - corner)]
  return byLeft <= byUp && byLeft <= byCorner ? left : byUp <= byCorner ? up : corner
}

/** On white, which is what the drawing is made for. */
const colourAt = (points: Uint8Array, at: number): number => {
  const opacity = points[at + 3] ?? 0
  const on = (channel: number): number => Math.round(((points[at + channel] ?? 0) * opacity + 255 * (255 - opacity)) / 255)
  return (on(0) << 16) | (on(1) << 8) | on(2)
}

const sameColour = (points: Uint8Array, one: number, other: number): boolean =>
  points[one] === points[other] &&
  points[one + 1] === points[other + 1] &&
  points[one + 2] === points[other + 2] &&
  points[one + 3] === points[other + 3]

const distance = (one: number, other: number): number => {
  const red = (one >> 16) - (other >> 16)
  const green = ((one >> 8) & 255) - ((other >> 8) & 255)
  const blue = (one & 255) - (other & 255)
  return red * red + green * green + blue * blue
}

/** The commonest colour first, then always the one that is missed most: how often it occurs times how far off it would be. */
function paletteOf(counts: ReadonlyMap<number, number>, most: Colours): readonly number[] {
  const missed = new Map([...counts.keys()].map((colour) => [colour, Number.POSITIVE_INFINITY]))
  const palette: number[] = []
  while (palette.length < most) {
    let next: number | undefined
    let worst = 0
    for (const [colour, far] of missed) {
      const miss = (counts.get(colour) ?? 0) * Math.min(far, 200_000)
      if (miss > worst) {
        worst = miss
        next = colour
      }
    }
    if (next === undefined) break
    palette.push(next)
    for (const [colour, far] of missed) missed.set(colour, Math.min(far, distance(colour, next)))
  }
  return palette
}

function encoded({ width, height, points }: Image, most: Colours): Buffer {
  const colours = new Uint32Array(width * height)
  const counts = new Map<number, number>()
  // Most points are of the colour of their left neighbour, so that they are counted by runs.
  for (let from = 0, index = 1; from < colours.length; index++) {
    if (index < colours.length && sameColour(points, from * CHANNELS, index * CHANNELS)) continue
    const colour = colourAt(points, from * CHANNELS)
    colours.fill(colour, from, index)
    counts.set(colour, (counts.get(colour) ?? 0) + index - from)
    from = index
  }
  const palette = paletteOf(counts, most)
  const nearest = new Map(
    [...counts.keys()].map((colour) => {
      const far = palette.map((one) => distance(one, colour))
      return [colour, far.indexOf(Math.min(...far))] as const
    }),
  )
  const depth = most === 16 ? 4 : 2
  const inOneByte = 8 / depth
  const row = 1 + Math.ceil(width / inOneByte)
  const stored = Buffer.alloc(row * height)
  let [colour, index] = [-1, 0]
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const here = colours[y * width + x] ?? 0
      if (here !== colour) [colour, index] = [here, nearest.get(here) ?? 0]
      const at = y * row + 1 + Math.floor(x / inOneByte)
      // the leftmost point stands in the highest bits
      stored[at] = (stored[at] ?? 0) | (index << (8 - depth * ((x % inOneByte) + 1)))
    }
  const head = Buffer.alloc(13)
  head.writeUInt32BE(width, 0)
  head.writeUInt32BE(height, 4)
  head.set([depth, 3, 0, 0, 0], 8)
  const table = Buffer.from(palette.flatMap((colour) => [colour >> 16, (colour >> 8) & 255, colour & 255]))
  return Buffer.concat([
    SIGNATURE,
    chunk('IHDR', head),
    chunk('PLTE', table),
    chunk('IDAT', deflateSync(stored, { level: 9 })),
    chunk('IEND', Buffer.alloc(0)),
  ])
}

function chunk(type: string, body: Buffer): Buffer {
  const named = Buffer.concat([Buffer.from(type, 'latin1'), body])
  const length = Buffer.alloc(4)
  length.writeUInt32BE(body.length)
  const check = Buffer.alloc(4)
  check.writeUInt32BE(crc32(named))
  return Buffer.concat([length, named, check])
}

/** The cyclic redundancy check of the standard, annex D; `node:zlib` has its own only from Node 20.15 on. */
function crc32(bytes: Buffer): number {
  let crc = 0xffffffff
  for (const byte of bytes) {
    crc ^= byte
    for (let bit = 0; bit < 8; bit++) crc = (crc >>> 1) ^ (crc & 1 ? 0xedb88320 : 0)
  }
  return (crc ^ 0xffffffff) >>> 0
}
