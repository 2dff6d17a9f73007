import type { BaseLogger } from 'pino'
import { TEAMS } from '../../src/views/limits.js'
import type { OutgoingActivity } from './bot-service.js'
import { type Colours, inFewColours } from './few-colours.js'

export interface PictureParts {
  /** Draws the picture as PNG of this width in pixels; absent: pictures are told in words. */
  readonly pngOf?: (svg: string, width: number) => Promise<Uint8Array>
  readonly logger: Pick<BaseLogger, 'warn'>
}

/** Sharpest first; the last is as wide as a phone. */
const WIDTHS = [600, 540, 480, 430, 390] as const
const NARROWEST = 390
/** Shades matter to a drawing of lines; a page of text and bars, which is larger, is read as well without. */
const COLOURS: readonly Colours[] = [16, 4]
/** What is a message's size times too large will not fit at any width: a picture shrinks with its width and a little more. */
const SHRINKS_BY = 0.85

/**
 * The message with its picture inside it: Teams fetches pictures only from an address that every phone can reach, which a
 * department may not want to offer. What is larger than the smallest documented limit of a message is left to the words.
 */
export async function withPicture(parts: PictureParts, activity: OutgoingActivity, svg: string): Promise<OutgoingActivity> {
  const { pngOf, logger } = parts
  if (pngOf === undefined) return activity
  try {
    for (const colours of COLOURS)
      for (const width of WIDTHS) {
        const png = Buffer.from(inFewColours(await pngOf(svg, width), colours))
        const shown = withAttached(activity, png)
        const size = Buffer.byteLength(JSON.stringify(shown))
        if (size <= TEAMS.bytesPerMessage) return shown
        if (size * (NARROWEST / width) * SHRINKS_BY > TEAMS.bytesPerMessage) break
      }
    logger.warn({ chat: 'teams' }, 'a picture is told in words: it is larger than a message')
  } catch (fault) {
    logger.warn({ chat: 'teams' }, `a picture is told in words: ${fault instanceof Error ? fault.name : 'fault'}`)
  }
  return activity
}

const withAttached = (activity: OutgoingActivity, png: Buffer): OutgoingActivity => ({
  ...activity,
  attachments: [
    ...activity.attachments,
    { contentType: 'image/png', name: 'plan.png', contentUrl: `data:image/png;base64,${png.toString('base64')}` },
  ],
})
