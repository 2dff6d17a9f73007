import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterEach, beforeEach, expect, it } from 'vitest'
import { type Running, serve } from '../../adapters/main.js'
import { readSettings } from '../../adapters/settings.js'
import { BOT, type SlackApi, startSlackApi } from '../fakes/slack-api.js'
import { buttonPress, deliver, SIGNING_SECRET, slashCommand } from '../fakes/slack-requests.js'
import { GRANTED } from './slack/loopback.js'

let api: SlackApi
let folder: string
let running: Running | undefined
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'soundings-serve-'))
  api = await startSlackApi({ scopes: GRANTED, channels: ['C0001'], names: { U0001: 'Rowan Vale' } })
})
afterEach(async () => {
  await running?.stop()
  await api.stop()
  rmSync(folder, { recursive: true })
})

async function until<T>(look: () => T | undefined): Promise<T> {
  for (let tries = 0; tries < 5_000; tries += 1) {
    const seen = look()
    if (seen !== undefined) return seen
    await new Promise((resolve) => setTimeout(resolve, 10))
  }
  throw new Error('not seen')
}

it('the whole program with Slack on posts the picture of a plan as a PNG, and asks Slack who reads the channel', async () => {
  const read = readSettings({
    SLACK_BOT_TOKEN: BOT.token,
    SLACK_SIGNING_SECRET: SIGNING_SECRET,
    SLACK_API_URL: api.url,
    SOUNDINGS_LENS_LIST: fileURLToPath(new URL('../../examples/lens-list.json', import.meta.url)),
    DATABASE_URL: `sqlite:${join(folder, 'trail.db')}`,
    PORT: '0',
    LOG_LEVEL: 'silent',
  })
  if ('faults' in read) throw new Error(JSON.stringify(read.faults))
  const started = await serve(read.settings)
  if ('faults' in started) throw new Error(started.faults.join('\n'))
  running = started
  const url = new URL('/slack/events', started.url).href
  const said =
    'LE 58M, AL 29.60 optical, K1 42.10@95 K2 43.20@5, ACD 3.45, brown NO 5.2; target -1.75; A 118.9\n? Chop or manual?'
  await deliver(url, slashCommand(said, { response_url: api.responseUrl() }))
  const preview = await until(() => api.ephemeral[0])
  const draft = /"value":("(?:[^"\\]|\\.)*post-draft(?:[^"\\]|\\.)*")/.exec(JSON.stringify(preview.blocks))?.[1]
  await deliver(url, buttonPress(JSON.parse(draft ?? '""') as string, { user: { id: 'U0001', name: 'r', team_id: BOT.team } }))
  const shown = await until(() => api.posted.find(({ blocks }) => JSON.stringify(blocks).includes('"slack_file"')))
  expect(shown.thread_ts).toBe(api.posted[0]?.ts)
  const bytes = [...api.surfaces.files.values()][0]?.bytes
  // the signature and the header of a PNG: W3C, Portable Network Graphics, 3rd ed., 5.2 and 11.2.1
  expect(bytes?.subarray(0, 8).toString('latin1')).toBe('\x89PNG\r\n\x1a\n')
  expect(bytes?.readUInt32BE(16)).toBe(1_440)
  expect(api.calls.some(({ method }) => method === 'conversations.info')).toBe(true)
}, 60_000)
