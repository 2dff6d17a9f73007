import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { initWasm, Resvg } from '@resvg/resvg-wasm'

const require = createRequire(import.meta.url)
const FONTS = [
  require.resolve('dejavu-fonts-ttf/ttf/DejaVuSans.ttf'),
  require.resolve('dejavu-fonts-ttf/ttf/DejaVuSans-Bold.ttf'),
]

/** Widest picture that is drawn, pixels: what a chat shows is far below, and an image grows with the square. */
export const WIDEST_PX = 4000

let fonts: Uint8Array[] | undefined
let started: Promise<void> | undefined

/** Compiled code and fonts are read once a thread; with no font, text would vanish without an error. */
async function start(): Promise<Uint8Array[]> {
  started ??= initWasm(readFileSync(require.resolve('@resvg/resvg-wasm/index_bg.wasm')))
  await started
  fonts ??= FONTS.map((file) => readFileSync(file))
  return fonts
}

/**
 * Draws an SVG as PNG, in this thread.
 * @param widthPx 1 to 4000; the height follows from the drawing
 * @throws where the SVG is malformed
 */
export async function drawPng(svg: string, widthPx: number): Promise<Uint8Array> {
  const fontBuffers = await start()
  const drawing = new Resvg(svg, {
    fitTo: { mode: 'width', value: widthPx },
    font: { fontBuffers, defaultFontFamily: 'DejaVu Sans', sansSerifFamily: 'DejaVu Sans' },
  })
  try {
    const image = drawing.render()
    try {
      return image.asPng()
    } finally {
      // The memory of both lies outside the garbage collector's sight.
      image.free()
    }
  } finally {
    drawing.free()
  }
}
