import { once } from 'node:events'
import { mkdtempSync, rmSync } from 'node:fs'
import { createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { App, HTTPReceiver, LogLevel } from '@slack/bolt'
import { startWhole } from '../tests/adapters/slack/whole.js'
import { BOT, startSlackApi } from '../tests/fakes/slack-api.js'
import { deliver, messageEvent, SIGNING_SECRET } from '../tests/fakes/slack-requests.js'

const WARM_UP = 30
const ROUNDS = 300

const CASE = `LE 58M, AL 29.60 optical SD 0.02, K1 42.10@95 K2 43.20@5, ACD 3.45, LT 4.90, WTW 12.1, CCT 548
brown NO 5.2; ECD 2180; no fundal view, B-scan flat; fellow eye pseudophakic -1.50; target -1.75; A 118.9; registrar
? Chop, or plan a manual extraction from the start?`

/**
 * From a signed case message to the card that the chat's own interface has accepted, on loopback, against a bot on the same
 * framework that only echoes. Both in one process, in turn, each with a Web API of its own; ours writes its inbox and
 * outbox to disk on the way. The pause between two messages in one channel is off.
 */
export async function run(): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'soundings-bench-'))
  const ours = await answering('chat.postEphemeral')
  const echoes = await answering('chat.postMessage')
  const soundings = await startWhole(ours.api, join(folder, 'trail.db'))
  const echo = await startEcho(echoes.api.url)

  const times: Record<'soundings' | 'echo', number[]> = { soundings: [], echo: [] }
  for (let round = 0; round < WARM_UP + ROUNDS; round += 1) {
    const measured = round >= WARM_UP
    const echoed = await milliseconds(echo.url, echoes.next(), round)
    const read = await milliseconds(soundings.url, ours.next(), round)
    if (measured) times.echo.push(echoed)
    if (measured) times.soundings.push(read)
  }
  await soundings.stop()
  await echo.stop()
  await ours.api.stop()
  await echoes.api.stop()
  rmSync(folder, { recursive: true })

  const row = (values: readonly number[], ratio: string, budget: string) => ({
    'median, ms': quantile(values, 0.5).toFixed(2),
    'p99, ms': quantile(values, 0.99).toFixed(2),
    ratio,
    budget,
  })
  const ratio = quantile(times.soundings, 0.5) / quantile(times.echo, 0.5)
  console.table({
    'echo on the same framework': row(times.echo, '1', ''),
    'case read, planned, kept and shown': row(
      times.soundings,
      `${ratio.toFixed(1)} x the echo`,
      'at most 4 x; p99 far under 3,000 ms',
    ),
  })
}

/** A Web API that tells when it has accepted the answer. */
async function answering(method: string) {
  let arrived = () => {}
  const api = await startSlackApi({
    scopes: ['chat:write', 'users:read'],
    channels: ['C0001'],
    names: { U0001: 'Rowan Vale' },
    heard: (called) => {
      if (called === method) arrived()
    },
  })
  return {
    api,
    next: () =>
      new Promise<void>((resolve) => {
        arrived = resolve
      }),
  }
}

async function startEcho(apiUrl: string) {
  const receiver = new HTTPReceiver({ signingSecret: SIGNING_SECRET, logLevel: LogLevel.ERROR })
  const app = new App({
    receiver,
    token: BOT.token,
    botId: BOT.botId,
    botUserId: BOT.userId,
    logLevel: LogLevel.ERROR,
    clientOptions: { slackApiUrl: apiUrl },
  })
  app.event('app_mention', async ({ event, client }) => {
    await client.chat.postMessage({ channel: event.channel, text: event.text })
  })
  const server = createServer((request, response) => receiver.requestListener(request, response))
  server.listen(0, '127.0.0.1')
  await once(server, 'listening')
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}/slack/events`,
    async stop() {
      server.closeAllConnections()
      server.close()
      await once(server, 'close')
    },
  }
}

async function milliseconds(url: string, answered: Promise<void>, round: number): Promise<number> {
  const ts = `179000${String(round).padStart(4, '0')}.000100`
  const mention = messageEvent({ text: `<@${BOT.userId}> ${CASE}`, ts, eventId: `Ev${round}`, more: { type: 'app_mention' } })
  const start = performance.now()
  const response = await deliver(url, mention)
  if (response.status !== 200) throw new Error(`the delivery was answered ${response.status}`)
  await answered
  const took = performance.now() - start
  // what is left to do after the answer must not count against the other bot
  await new Promise((resolve) => setTimeout(resolve, 10))
  return took
}

const quantile = (values: readonly number[], at: number): number =>
  values.toSorted((one, other) => one - other)[Math.min(values.length - 1, Math.floor(values.length * at))] ?? 0

if (process.argv[1] !== undefined && import.meta.url === pathToFileURL(process.argv[1]).href) await run()
