import { readFileSync } from 'node:fs'
import { type RunningSlack, SLACK_PATH, type SlackDeps, startSlack } from '../../../adapters/slack/start.js'
import { receive } from '../../../src/desk/receive.js'
import { BOT, type SlackApi, startSlackApi } from '../../fakes/slack-api.js'
import { SIGNING_SECRET } from '../../fakes/slack-requests.js'
import { type Inbox, inbox } from '../../tools/delivery-inbox.js'
import { servedAt } from '../../tools/served.js'

/** The scopes that the app asks for: the loopback workspace grants these and no others. */
export const GRANTED = (
  JSON.parse(readFileSync(new URL('../../../deploy/slack-manifest.json', import.meta.url), 'utf8')) as {
    oauth_config: { scopes: { bot: string[] } }
  }
).oauth_config.scopes.bot

export interface Loopback {
  readonly api: SlackApi
  readonly slack: RunningSlack
  readonly url: string
  readonly inbox: Inbox
  readonly logged: string[]
  stop(): Promise<void>
}

/** Real Bolt over HTTP, against the Web API on loopback. */
export async function startLoopback(deps: Partial<SlackDeps> = {}): Promise<Loopback> {
  const api = await startSlackApi({
    scopes: GRANTED,
    channels: ['C0001', 'D0001', 'D0002'],
    names: { U0001: 'Rowan Vale', U0002: 'Odile Finch' },
    userGroups: [{ id: 'S0001', name: 'Retina team', handle: 'retina', users: ['U0001', 'U0002'] }],
  })
  const box = inbox()
  const logged: string[] = []
  const log = (level: string) => (fields: unknown, line?: string) => {
    logged.push(`${level} ${JSON.stringify(fields)} ${line ?? ''}`)
  }
  const slack = await startSlack(
    { botToken: BOT.token, signingSecret: SIGNING_SECRET, apiUrl: api.url, mode: 'http' },
    {
      accept: (delivery) => box.accept(delivery),
      receive: (inbound, key) => receive(inbound, key, '2026-11-24'),
      logger: { info: log('info'), warn: log('warn'), error: log('error') },
      clock: { now: () => new Date().toISOString() },
      timing: { gapMs: 0, ticks: () => performance.now(), wait: async () => {} },
      timeoutMs: 1_000,
      ...deps,
    },
  )
  const served = await servedAt(SLACK_PATH, (request, response) => slack.requestListener?.(request, response))
  return {
    api,
    slack,
    inbox: box,
    logged,
    url: served.url,
    async stop() {
      await slack.stop()
      served.stop()
      await api.stop()
    },
  }
}
