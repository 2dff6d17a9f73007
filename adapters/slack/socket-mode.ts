import type { SocketModeReceiver } from '@slack/bolt'
import type { WebClientOptions } from '@slack/web-api'
import type { BaseLogger } from 'pino'
import { faultName } from './bolt-logger.js'

const AGAIN_AFTER_MS = 60_000

/**
 * For opening connections only, which has no effect on anybody: tried until it works, with at most half a minute between.
 * Messages go out by another client, which never repeats anything by itself.
 */
export function socketClientOptions(apiUrl: string | undefined): WebClientOptions {
  return {
    ...(apiUrl === undefined ? {} : { slackApiUrl: apiUrl }),
    allowAbsoluteUrls: false,
    timeout: 10_000,
    retryConfig: { forever: true, factor: 1.3, maxTimeout: 30_000 },
  }
}

/**
 * The library's own reconnecting lets a failure go unhandled, which would end the process. From the second connection on,
 * a failure is logged and tried again after a minute: a token may be mended while the page and the trail go on working.
 */
export function keepConnecting(
  link: Pick<SocketModeReceiver['client'], 'start' | 'once'>,
  logger: Pick<BaseLogger, 'error'>,
  pause: () => Promise<unknown> = () => new Promise((resolve) => setTimeout(resolve, AGAIN_AFTER_MS).unref()),
): void {
  const connect = link.start.bind(link)
  let stopped = false
  link.once('disconnecting', () => {
    stopped = true
  })
  link.start = async () => {
    for (;;) {
      try {
        return await connect()
      } catch (fault) {
        if (stopped) return { ok: false }
        logger.error({ chat: 'slack' }, `no connection to Slack, next try in a minute: ${faultName(fault)}`)
        await pause()
      }
    }
  }
}
