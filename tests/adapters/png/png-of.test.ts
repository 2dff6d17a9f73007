import { mkdtemp, readFile, rm, symlink, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import ts from 'typescript'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import { drawPng } from '../../../adapters/png/draw.js'
import { type PngDrawer, startPngDrawer } from '../../../adapters/png/png-of.js'
import { planPicture } from '../../../src/cards/picture.js'
import { riskPicture } from '../../../src/cards/risk-picture.js'
import { drawing, label } from '../../../src/cards/svg.js'
import { A_PLAN } from '../../cards/a-plan.js'

const root = new URL('../../..', import.meta.url).pathname
const svgSaying = (words: string): string => drawing({ width: 200, height: 100 }, [label({ x: 10, y: 50 }, words)])

/** Width and height as the header of a PNG has them: W3C, Portable Network Graphics, 3rd ed., 11.2.1 IHDR. */
const sizeOf = (png: Uint8Array): readonly [number, number] => {
  const view = new DataView(png.buffer, png.byteOffset, png.byteLength)
  return [view.getUint32(16), view.getUint32(20)]
}
/** The signature that every PNG begins with: the same standard, 5.2. */
const SIGNATURE = [137, 80, 78, 71, 13, 10, 26, 10]

describe('a drawing as PNG', () => {
  it('is a PNG as wide as asked and as high as the drawing asks', async () => {
    const png = await drawPng(svgSaying('+9.0 D'), 400)
    expect([...png.slice(0, 8)]).toEqual(SIGNATURE)
    expect(sizeOf(png)).toEqual([400, 200])
  })

  it('shows its text: another text is another picture, and none is yet another', async () => {
    const [plus, minus, none] = await Promise.all(['+9.0 D', '−9.0 D', ''].map((words) => drawPng(svgSaying(words), 200)))
    expect(plus).not.toEqual(minus)
    expect(plus).not.toEqual(none)
    expect(plus).toEqual(await drawPng(svgSaying('+9.0 D'), 200))
  })

  it('has a shape of its own for every sign that a picture writes', async () => {
    const missing = await drawPng(svgSaying('\u{10ffff}'), 200)
    for (const sign of ['+', '−', '·', '“', '”', '–', '°', '²', 'µ', '?', 'é'])
      expect(await drawPng(svgSaying(sign), 200), sign).not.toEqual(missing)
  })

  it('shows the text of the two pictures of a plan', async () => {
    for (const picture of [planPicture(A_PLAN), riskPicture(A_PLAN)]) {
      const svg = picture?.svg ?? ''
      expect(svg).toContain('Left eye (OS)')
      const [left, right] = await Promise.all(
        [svg, svg.replace('Left eye (OS)', 'Right eye (OD)')].map((one) => drawPng(one, 360)),
      )
      expect(left).not.toEqual(right)
      expect(sizeOf(left ?? new Uint8Array(24))[0]).toBe(360)
    }
  })
})

describe('the drawing thread', () => {
  let folder: string
  let worker: URL
  let drawer: PngDrawer | undefined
  const started = (options: { idleMs?: number; atMostMs?: number; worker?: URL } = {}): PngDrawer => {
    drawer = startPngDrawer({ worker, ...options })
    return drawer
  }
  const until = async (holds: () => boolean): Promise<void> => {
    for (let tries = 0; tries < 400 && !holds(); tries += 1) await new Promise((done) => setTimeout(done, 10))
    expect(holds()).toBe(true)
  }

  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'png-'))
    await symlink(join(root, 'node_modules'), join(folder, 'node_modules'))
    await writeFile(join(folder, 'package.json'), '{"type":"module"}')
    for (const name of ['draw', 'draw-worker']) {
      const source = await readFile(join(root, `adapters/png/${name}.ts`), 'utf8')
      const { outputText } = ts.transpileModule(source, {
        compilerOptions: { module: ts.ModuleKind.ESNext, target: ts.ScriptTarget.ES2022, verbatimModuleSyntax: true },
      })
      await writeFile(join(folder, `${name}.js`), outputText)
    }
    worker = pathToFileURL(join(folder, 'draw-worker.js'))
  })
  afterEach(() => drawer?.stop())
  afterAll(() => rm(folder, { recursive: true }))

  it('draws the same picture as this thread', async () => {
    const png = await started().pngOf(svgSaying('+9.0 D'), 400)
    expect(Buffer.from(png).equals(Buffer.from(await drawPng(svgSaying('+9.0 D'), 400)))).toBe(true)
  })

  it('answers each of many with its own picture', async () => {
    const { pngOf } = started()
    const widths = [100, 120, 140, 160, 180]
    const pictures = await Promise.all(widths.map((width) => pngOf(svgSaying(String(width)), width)))
    expect(pictures.map((png) => sizeOf(png)[0])).toEqual(widths)
  })

  it('is there only while there is something to draw, and comes back', async () => {
    const { pngOf, isRunning } = started({ idleMs: 30 })
    expect(isRunning()).toBe(false)
    await pngOf(svgSaying('one'), 100)
    expect(isRunning()).toBe(true)
    await until(() => !isRunning())
    expect(sizeOf(await pngOf(svgSaying('two'), 100))).toEqual([100, 50])
  })

  it('refuses what it cannot draw and goes on with the next', async () => {
    const { pngOf } = started()
    const broken = pngOf('<svg', 100)
    const next = pngOf(svgSaying('next'), 100)
    await expect(broken).rejects.toMatchObject({ code: 'PNG.NOT_DRAWN' })
    expect(sizeOf(await next)).toEqual([100, 50])
  })

  it.each([0, 1.5, -1, Number.NaN, 4001])('refuses a width of %d px', async (width) =>
    expect(started().pngOf(svgSaying(''), width)).rejects.toMatchObject({ code: 'PNG.OUT_OF_RANGE' }),
  )

  it('refuses a picture that takes too long, and starts afresh for the next', async () => {
    const silent = pathToFileURL(join(folder, 'silent.js'))
    await writeFile(silent, "import { parentPort } from 'node:worker_threads'\nparentPort.on('message', () => {})\n")
    const { pngOf, isRunning } = started({ worker: silent, atMostMs: 50 })
    await expect(pngOf(svgSaying(''), 100)).rejects.toMatchObject({ code: 'PNG.TOO_LONG' })
    expect(isRunning()).toBe(false)
  })

  it('refuses every picture under way when the thread dies', async () => {
    const dying = pathToFileURL(join(folder, 'dying.js'))
    await writeFile(dying, "import { parentPort } from 'node:worker_threads'\nparentPort.on('message', () => process.exit(3))\n")
    const { pngOf, isRunning } = started({ worker: dying })
    const both = await Promise.allSettled([pngOf(svgSaying('a'), 100), pngOf(svgSaying('b'), 100)])
    expect(both.map((one) => one.status === 'rejected' && (one.reason as { code: string }).code)).toEqual([
      'PNG.NOT_DRAWN',
      'PNG.NOT_DRAWN',
    ])
    expect(isRunning()).toBe(false)
  })

  it('draws in this thread where there is no compiled one', async () => {
    const { pngOf, isRunning } = started({ worker: pathToFileURL(join(folder, 'absent.js')) })
    expect(sizeOf(await pngOf(svgSaying('here'), 100))).toEqual([100, 50])
    await expect(pngOf('<svg', 100)).rejects.toMatchObject({ code: 'PNG.NOT_DRAWN' })
    expect(isRunning()).toBe(false)
  })
})
