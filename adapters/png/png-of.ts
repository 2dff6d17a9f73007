import { existsSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { Worker } from 'node:worker_threads'
import { fault } from '../../src/terms/fault.js'
import { drawPng, WIDEST_PX } from './draw.js'
import type { Drawn, ToDraw } from './messages.js'

export interface PngOptions {
  /** The compiled drawing thread. */
  readonly worker?: URL
  /** How long the thread waits for another picture before it ends and gives its memory back, milliseconds. */
  readonly idleMs?: number
  /** How long one picture may take, milliseconds. */
  readonly atMostMs?: number
}

export interface PngDrawer {
  /**
   * The SVG as PNG, drawn in a thread of its own so that nobody waits for it.
   * @param svg a drawing of ours; at most 2,000,000 characters
   * @param widthPx 1 to 4000
   * @throws with code PNG.OUT_OF_RANGE, PNG.NOT_DRAWN or PNG.TOO_LONG; a card then goes without its picture, whose text alternative holds the numbers
   */
  readonly pngOf: (svg: string, widthPx: number) => Promise<Uint8Array>
  /** Whether the thread is there now. */
  readonly isRunning: () => boolean
  /** Ends the thread; pictures under way are refused. */
  readonly stop: () => Promise<void>
}

interface Waiting {
  readonly done: (png: Uint8Array) => void
  readonly failed: (reason: Error) => void
  readonly timer: NodeJS.Timeout
}

const LONGEST_SVG = 2_000_000
const COMPILED_WORKER = new URL('./draw-worker.js', import.meta.url)

export function startPngDrawer({
  worker: file = COMPILED_WORKER,
  idleMs = 30_000,
  atMostMs = 15_000,
}: PngOptions = {}): PngDrawer {
  const waiting = new Map<number, Waiting>()
  let thread: Worker | undefined
  let idle: NodeJS.Timeout | undefined
  let lastId = 0

  function settle(id: number, how: (one: Waiting) => void): void {
    const one = waiting.get(id)
    if (one === undefined) return
    clearTimeout(one.timer)
    waiting.delete(id)
    how(one)
    if (waiting.size === 0) rest()
  }

  /** A waiting thread never keeps the process alive. */
  function rest(): void {
    thread?.unref()
    clearTimeout(idle)
    idle = setTimeout(() => void end(), idleMs)
    idle.unref()
  }

  function refuseAll(reason: Error): void {
    for (const id of [...waiting.keys()]) settle(id, ({ failed }) => failed(reason))
  }

  async function end(): Promise<void> {
    clearTimeout(idle)
    const ending = thread
    thread = undefined
    await ending?.terminate()
  }

  function running(): Worker {
    if (thread !== undefined) return thread
    const started = new Worker(file)
    started.on('message', (drawn: Drawn) =>
      settle(drawn.id, ({ done, failed }) =>
        'png' in drawn ? done(drawn.png) : failed(fault('PNG.NOT_DRAWN', `the picture could not be drawn: ${drawn.problem}`)),
      ),
    )
    const gone = (why: string): void => {
      if (thread !== started) return
      thread = undefined
      refuseAll(fault('PNG.NOT_DRAWN', `the drawing thread ended: ${why}`))
    }
    started.on('error', (reason) => gone(reason instanceof Error ? reason.message : String(reason)))
    started.on('exit', (code) => gone(`exit code ${code}`))
    thread = started
    return started
  }

  function pngOf(svg: string, widthPx: number): Promise<Uint8Array> {
    if (!(Number.isInteger(widthPx) && widthPx >= 1 && widthPx <= WIDEST_PX && svg.length <= LONGEST_SVG))
      return Promise.reject(
        fault('PNG.OUT_OF_RANGE', `width ${widthPx} px of 1 to ${WIDEST_PX}, ${svg.length} characters of at most ${LONGEST_SVG}`),
      )
    // Run from source there is no compiled thread beside this file; the picture is the same.
    if (!existsSync(fileURLToPath(file))) return drawHere(svg, widthPx)
    return new Promise((done, failed) => {
      lastId += 1
      const id = lastId
      const timer = setTimeout(() => {
        const late = fault('PNG.TOO_LONG', `the picture was not drawn within ${atMostMs} ms`)
        settle(id, (one) => one.failed(late))
        void end()
        refuseAll(late)
      }, atMostMs)
      waiting.set(id, { done, failed, timer })
      clearTimeout(idle)
      const worker = running()
      worker.ref()
      worker.postMessage({ id, svg, widthPx } satisfies ToDraw)
    })
  }

  return {
    pngOf,
    isRunning: () => thread !== undefined,
    stop: async () => {
      refuseAll(fault('PNG.NOT_DRAWN', 'the drawing thread was stopped'))
      await end()
    },
  }
}

const drawHere = (svg: string, widthPx: number): Promise<Uint8Array> =>
  drawPng(svg, widthPx).catch((reason: unknown) => {
    throw fault('PNG.NOT_DRAWN', `the picture could not be drawn: ${reason instanceof Error ? reason.message : String(reason)}`)
  })
