import { parentPort } from 'node:worker_threads'
import { drawPng } from './draw.js'
import type { Drawn, ToDraw } from './messages.js'

/** One picture at a time; a picture that cannot be drawn is said back and the next one is taken. */
parentPort?.on('message', async ({ id, svg, widthPx }: ToDraw) => {
  const drawn: Drawn = await drawPng(svg, widthPx).then(
    (png) => ({ id, png }),
    (reason: unknown) => ({ id, problem: reason instanceof Error ? reason.message : String(reason) }),
  )
  parentPort?.postMessage(drawn)
})
