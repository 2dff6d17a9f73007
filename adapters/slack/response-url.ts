import type { SlackMessage } from '../../src/views/slack-blocks.js'
import { type Failure, outcomeOfAnswer, outcomeOfNetwork, outcomeOfStatus } from './send-outcome.js'

const SLACK_HOOKS = ['https://hooks.slack.com', 'https://hooks.slack-gov.com']

export interface ResponseUrls {
  /** Whether this address is Slack's: nothing of ours goes anywhere else. */
  trusted(url: string): boolean
  /** Answers by a delivery's own address. It serves five times within half an hour; afterwards `refused`. */
  send(url: string, message: SlackMessage, replacesOriginal: boolean): Promise<{ readonly outcome: 'sent' } | Failure>
}

export function responseUrls(options: { readonly apiUrl?: string; readonly timeoutMs: number }): ResponseUrls {
  const origins = new Set([...SLACK_HOOKS, ...(options.apiUrl === undefined ? [] : [new URL(options.apiUrl).origin])])

  return {
    trusted: (url) => URL.canParse(url) && origins.has(new URL(url).origin),

    async send(url, message, replacesOriginal) {
      try {
        const response = await fetch(url, {
          method: 'POST',
          headers: { 'content-type': 'application/json; charset=utf-8' },
          body: JSON.stringify({
            response_type: 'ephemeral',
            replace_original: replacesOriginal,
            text: message.text,
            blocks: message.blocks,
          }),
          redirect: 'error',
          signal: AbortSignal.timeout(options.timeoutMs),
        })
        const body = await response.text()
        if (response.status !== 200) return outcomeOfStatus(response.status, Number(response.headers.get('retry-after')))
        const error = errorIn(body)
        return error === undefined ? { outcome: 'sent' } : outcomeOfAnswer(error)
      } catch (fault) {
        return outcomeOfNetwork(fault)
      }
    },
  }
}

/** These addresses answer `ok`, or JSON that may say `ok: false`. */
function errorIn(body: string): string | undefined {
  try {
    const answer: unknown = JSON.parse(body)
    if (typeof answer !== 'object' || answer === null || !('ok' in answer) || answer.ok !== false) return undefined
    return 'error' in answer && typeof answer.error === 'string' ? answer.error : ''
  } catch {
    return undefined
  }
}
