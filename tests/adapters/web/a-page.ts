import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { type Running, serve } from '../../../adapters/main.js'
import { readSettings } from '../../../adapters/settings.js'

export const CASE_MESSAGE = `LE 58M, AL 29.60 optical SD 0.02, K1 42.10@95 K2 43.20@5, ACD 3.45, LT 4.90; brown NO 5.2; ECD 2180
no fundal view, B-scan flat; target -1.75; A 118.9; registrar; ? chop or manual`

export interface TestPage {
  readonly url: string
  readonly folder: string
  restart(): Promise<void>
  stop(): Promise<void>
}

/** The whole program with no chat, on a free port, over a database of its own. */
export async function startTestPage(demo: 'on' | 'off' = 'off'): Promise<TestPage> {
  const folder = await mkdtemp(join(tmpdir(), 'soundings-'))
  const begin = async (port: number): Promise<Running> => {
    const read = readSettings({
      DATABASE_URL: `sqlite:${join(folder, 'trail.db')}`,
      PORT: String(port),
      LOG_LEVEL: 'silent',
      SOUNDINGS_DEMO: demo,
    })
    if ('faults' in read) throw new Error(JSON.stringify(read.faults))
    const started = await serve(read.settings)
    if ('faults' in started) throw new Error(started.faults.join('\n'))
    await started.settled
    return started
  }
  let running = await begin(0)
  const { url } = running
  return {
    url,
    folder,
    restart: async () => {
      await running.stop()
      running = await begin(Number(new URL(url).port))
    },
    stop: async () => {
      await running.stop()
      await rm(folder, { recursive: true })
    },
  }
}

/** A browser without a browser: keeps the cookie, sends forms with the token it was given. */
export async function visitor(url: string) {
  const first = await fetch(url, { headers: { connection: 'close' } })
  const cookie = (first.headers.get('set-cookie') ?? '').split(';')[0] ?? ''
  const token = /name="token" value="([a-f0-9]+)"/.exec(await first.text())?.[1] ?? ''
  // A connection of its own each time: one that was kept open would be tried again after the program has stopped.
  const headers = { cookie, connection: 'close' }
  const get = (path: string) => fetch(new URL(path, url), { headers })
  const send = (path: string, fields: Record<string, string>, given = token) =>
    fetch(new URL(path, url), {
      method: 'POST',
      redirect: 'manual',
      headers,
      body: new URLSearchParams({ token: given, ...fields }),
    })
  /** Sends a form and reads the answer that it leads to. */
  const answerTo = async (path: string, fields: Record<string, string>): Promise<string> => {
    const sent = await send(path, fields)
    if (sent.status !== 303) return sent.text()
    return (await get(sent.headers.get('location') ?? '/')).text()
  }
  return { get, send, answerTo, cookie, token }
}

/** What the choice button with this label carries. */
export function choiceOn(html: string, label: string): string {
  const button = new RegExp(`name="does" class="[a-z]+" value="([^"]+)">${label}[^<]*<`).exec(html)
  if (!button?.[1]) throw new Error(`no button "${label}"`)
  return button[1].replaceAll('&quot;', '"').replaceAll('&#39;', "'").replaceAll('&amp;', '&')
}
