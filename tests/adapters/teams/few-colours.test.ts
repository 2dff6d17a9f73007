import { deflateSync, inflateSync } from 'node:zlib'
import { describe, expect, it } from 'vitest'
import { drawPng } from '../../../adapters/png/draw.js'
import { inFewColours } from '../../../adapters/teams/few-colours.js'
import { planPicture } from '../../../src/cards/picture.js'
import { A_PLAN } from '../../cards/a-plan.js'

const picture = planPicture(A_PLAN) ?? expect.unreachable()

describe('a drawing in few colours', () => {
  /** Width, height, and the colour of each point, read back by the standard's rules for an indexed image without filters. */
  function readBack(png: Uint8Array): { depth: number; width: number; colours: readonly (readonly number[])[] } {
    const file = Buffer.from(png)
    const chunks = new Map<string, Buffer>()
    for (let at = 8; at < file.length; ) {
      const length = file.readUInt32BE(at)
      chunks.set(file.toString('latin1', at + 4, at + 8), file.subarray(at + 8, at + 8 + length))
      at += 12 + length
    }
    const head = chunks.get('IHDR') ?? Buffer.alloc(13)
    const depth = head[8] ?? 0
    expect([...head.subarray(9)]).toEqual([3, 0, 0, 0])
    const [width, height] = [head.readUInt32BE(0), head.readUInt32BE(4)]
    const palette = chunks.get('PLTE') ?? Buffer.alloc(0)
    const stored = inflateSync(chunks.get('IDAT') ?? deflateSync(''))
    const inOneByte = 8 / depth
    const row = 1 + Math.ceil(width / inOneByte)
    const colours = Array.from({ length: width * height }, (_, index) => {
      const [x, y] = [index % width, Math.floor(index / width)]
      const held = stored[y * row + 1 + Math.floor(x / inOneByte)] ?? 0
      const entry = (held >> (8 - depth * ((x % inOneByte) + 1))) & (2 ** depth - 1)
      return [...palette.subarray(entry * 3, entry * 3 + 3)]
    })
    return { depth, width, colours }
  }
  const square = (x: number, y: number, fill: string) => `<rect x="${x}" y="${y}" width="10" height="10" fill="${fill}"/>`

  it.each([
    [16, 4],
    [4, 2],
  ] as const)('keeps every point of a drawing that has no more than %i, on white', async (most, bits) => {
    const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="31" height="20">${square(0, 0, '#9c1c1c')}${square(10, 0, '#14506b')}${square(0, 10, '#000')}</svg>`
    const { depth, width, colours } = readBack(inFewColours(await drawPng(svg, 31), most))
    const at = (x: number, y: number) => colours[y * width + x]
    expect([depth, width]).toEqual([bits, 31])
    expect([at(5, 5), at(15, 5), at(5, 15), at(30, 19)]).toEqual([
      [0x9c, 0x1c, 0x1c],
      [0x14, 0x50, 0x6b],
      [0, 0, 0],
      [255, 255, 255],
    ])
  })

  it('is about a third of the size, and another picture than a blank one', async () => {
    const whole = await drawPng(picture.svg, 480)
    const few = inFewColours(whole)
    expect(few.length).toBeLessThan(whole.length / 2.5)
    expect(new Set(readBack(few).colours.map((colour) => colour.join())).size).toBeGreaterThan(8)
  })

  it('leaves alone what it does not know', () => {
    const other = Buffer.from('not a PNG at all')
    expect(inFewColours(other)).toBe(other)
  })
})
