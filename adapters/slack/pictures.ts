import { createHash } from 'node:crypto'
import type { WebClient } from '@slack/web-api'
import type { BaseLogger } from 'pino'
import { faultName } from './bolt-logger.js'

export interface PictureParts {
  readonly client: WebClient
  /** Draws the picture as PNG of this width in pixels. */
  readonly pngOf: (svg: string, width: number) => Promise<Uint8Array>
  readonly logger: Pick<BaseLogger, 'warn'>
  readonly wait: (ms: number) => Promise<void>
  readonly timeoutMs: number
  readonly apiUrl?: string
}

export interface Pictures {
  /** Slack's id of the uploaded picture, ready to be shown; undefined where it cannot be shown now. Never throws. */
  fileOf(svg: string): Promise<string | undefined>
}

/** Sharp on a phone, whose screens have three pixels to a point; the drawing is 720 wide. */
const WIDTH = 1_440
/** Slack takes files in at its own pace: showing one too early is refused as an invalid block. */
const LOOKS_MS = [300, 500, 800, 1_200, 2_000] as const
const MOST_FILES = 500

/** Uploads each picture once, as a file in no channel: the message that shows it says who may see it. */
export function slackPictures(parts: PictureParts): Pictures {
  const known = new Map<string, Promise<string | undefined>>()
  const trusted = trustedUploads(parts.apiUrl)

  async function upload(svg: string): Promise<string | undefined> {
    const { client } = parts
    const png = await parts.pngOf(svg, WIDTH)
    const begun = await client.files.getUploadURLExternal({ filename: 'plan.png', length: png.length })
    const { upload_url: address, file_id: id } = begun
    if (address === undefined || id === undefined || !trusted(address)) throw new Error('no address of Slack’s to upload to')
    const sent = await fetch(address, {
      method: 'POST',
      headers: { 'content-type': 'image/png' },
      body: Buffer.from(png),
      redirect: 'error',
      signal: AbortSignal.timeout(parts.timeoutMs),
    })
    if (sent.status !== 200) throw new Error(`the upload was answered ${sent.status}`)
    await client.files.completeUploadExternal({ files: [{ id, title: 'Plan' }] })
    for (const ms of LOOKS_MS) {
      const { file } = await client.files.info({ file: id })
      if (file?.mimetype === 'image/png' && file.original_w !== undefined) return id
      await parts.wait(ms)
    }
    throw new Error('it was not ready in time')
  }

  return {
    async fileOf(svg) {
      const key = createHash('sha256').update(svg).digest('base64url')
      if (known.size >= MOST_FILES) known.clear()
      const here = known.get(key)
      if (here !== undefined) return here
      const uploading = upload(svg).catch((fault: unknown) => {
        const why = fault instanceof Error && fault.constructor === Error ? fault.message : faultName(fault)
        parts.logger.warn({ chat: 'slack' }, `a picture is shown in words: ${why}`)
        // the next card tries again; nobody waits for this one
        known.delete(key)
        return undefined
      })
      known.set(key, uploading)
      return uploading
    },
  }
}

const SLACK_UPLOADS = ['https://files.slack.com', 'https://files.slack-gov.com']

/** The picture goes to Slack and nowhere else, wherever an answer points. */
function trustedUploads(apiUrl: string | undefined): (address: string) => boolean {
  const origins = new Set([...SLACK_UPLOADS, ...(apiUrl === undefined ? [] : [new URL(apiUrl).origin])])
  return (address) => URL.canParse(address) && origins.has(new URL(address).origin)
}
