import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { formsAndHome } from '../../../adapters/forms-and-home.js'
import { readGround } from '../../../adapters/ground.js'
import { randomNames } from '../../../adapters/names.js'
import { pageNeeds } from '../../../adapters/page-needs.js'
import { openSqliteStore } from '../../../adapters/store/sqlite/open.js'
import { pageApp } from '../../../adapters/web/page-app.js'
import { webSender } from '../../../adapters/web/sender.js'
import { waitingAnswers } from '../../../adapters/web/waiting.js'
import { startWorkers } from '../../../adapters/workers/start.js'
import type { ChoiceAction } from '../../../src/cards/card.js'
import { currentCard } from '../../../src/desk/consult-here.js'
import { ownWorkspace } from '../../../src/desk/deps.js'
import { handle } from '../../../src/desk/handle.js'
import { accept } from '../../../src/desk/receive.js'
import { understand } from '../../../src/intake/understand.js'
import { plansOn } from '../../../src/plan/make-plan.js'
import { visitor } from '../web/a-page.js'
import { type Chat, NAMES, opens, settled, type Who } from './chat.js'

const TODAY = '2026-11-24'

/** The page and everything behind it, over a store that can be looked into. */
async function startPage(trail: string) {
  const read = await readGround({}, 'allowed')
  if ('faults' in read) throw new Error(read.faults.join('\n'))
  const { ground } = read
  const clock = { now: () => new Date().toISOString() }
  const store = await openSqliteStore(trail, clock.now())
  const deps = {
    understand,
    makePlan: plansOn(ground),
    lensLabels: ground.lensList?.lenses.map(({ label }) => label) ?? [],
    clock,
    names: randomNames,
    today: () => TODAY,
    reach: ownWorkspace,
  }
  const answers = waitingAnswers()
  const workers = startWorkers({
    store,
    handle: (inbound, view) => handle(inbound, view, deps),
    cardFor: (ref) => currentCard(store.view, ref),
    senders: { web: { sender: webSender(answers), spacingMs: 0 } },
    clock,
    log: { warn: () => {}, error: () => {} },
  })
  const page = await pageApp(
    pageNeeds({
      store,
      accept: async (delivery) => {
        await accept(delivery, { inbox: store.inbox, clock, wake: workers.wake })
      },
      answers,
      today: deps.today,
      clock,
      hosts: new Set(['127.0.0.1']),
      asked: formsAndHome(store.view, deps),
    }),
    (fault) => {
      throw fault
    },
  )
  const url = await page.listen({ port: 0, host: '127.0.0.1' })
  return {
    store,
    url,
    async stop() {
      await page.close()
      await workers.stop()
      await store.close()
    },
  }
}

const unescaped = (html: string): string =>
  html.replaceAll('&quot;', '"').replaceAll('&#39;', "'").replaceAll('&lt;', '<').replaceAll('&gt;', '>').replaceAll('&amp;', '&')

const attribute = (tag: string, name: string): string | undefined => {
  const found = new RegExp(` ${name}="([^"]*)"`).exec(tag)?.[1]
  return found === undefined ? undefined : unescaped(found)
}

/** What a form holds when nobody has touched it, as a browser would send it; and its options by their words. */
function fieldsOf(html: string): {
  readonly values: Map<string, readonly string[]>
  readonly options: Map<string, Map<string, string>>
} {
  const values = new Map<string, readonly string[]>()
  const options = new Map<string, Map<string, string>>()
  const option = (name: string, label: string, value: string) =>
    options.set(name, (options.get(name) ?? new Map<string, string>()).set(unescaped(label).trim(), value))
  for (const [, tag = '', text = ''] of html.matchAll(/<textarea([^>]*)>\n?([^<]*)<\/textarea>/g))
    values.set(attribute(tag, 'name') ?? '', [unescaped(text)])
  for (const [, tag = '', label = ''] of html.matchAll(/<input([^>]*)>([^<]*)/g)) {
    const [name, type, value] = [attribute(tag, 'name') ?? '', attribute(tag, 'type'), attribute(tag, 'value') ?? '']
    if (type === 'radio' || type === 'checkbox') {
      option(name, label, value)
      if (/ checked/.test(tag)) values.set(name, [...(values.get(name) ?? []), value])
    } else values.set(name, [value])
  }
  for (const [, tag = '', inner = ''] of html.matchAll(/<select([^>]*)>(.*?)<\/select>/gs)) {
    const name = attribute(tag, 'name') ?? ''
    for (const [, own = '', label = ''] of inner.matchAll(/<option([^>]*)>([^<]*)/g)) {
      option(name, label, attribute(own, 'value') ?? '')
      if (/ selected/.test(own)) values.set(name, [attribute(own, 'value') ?? ''])
    }
  }
  return { values, options }
}

export async function onThePage(): Promise<Chat> {
  const folder = mkdtempSync(join(tmpdir(), 'soundings-powers-'))
  const page = await startPage(join(folder, 'trail.db'))
  const described = async (who: Who) => {
    const first = await visitor(page.url)
    const sent = await first.send('/me', { name: NAMES[who], grade: '', field: '' })
    return { ...first, cookie: (sent.headers.get('set-cookie') ?? '').split(';')[0] ?? '' }
  }
  const people = { asker: await described('asker'), colleague: await described('colleague') }
  const shown: Record<Who, string> = { asker: '', colleague: '' }
  let count = 0
  const fresh = () => {
    count += 1
    return `once-${count}`
  }

  const get = async (who: Who, path: string) =>
    (await fetch(new URL(path, page.url), { headers: { cookie: people[who].cookie } })).text()
  async function send(who: Who, path: string, fields: readonly (readonly [string, string])[]): Promise<string> {
    const body = new URLSearchParams({ token: people[who].token, once: fresh() })
    for (const [name, value] of fields) body.append(name, value)
    const response = await fetch(new URL(path, page.url), {
      method: 'POST',
      redirect: 'manual',
      headers: { cookie: people[who].cookie },
      body,
    })
    if (response.status !== 303)
      throw new Error(`the page answered ${response.status}: ${(await response.text()).split('<main')[1]} ${path} ${body}`)
    return response.headers.get('location') ?? ''
  }
  async function act(who: Who, path: string, fields: readonly (readonly [string, string])[]): Promise<void> {
    shown[who] = await get(who, await send(who, path, fields))
    await settled(page.store)
  }
  const ref = async (): Promise<string> => (await page.store.trail.newest('everything', 1))[0]?.ref ?? ''
  const htmlOf = async (who: Who, on: 'preview' | 'consult') =>
    on === 'preview' ? shown[who] : get(who, `/consult/${await ref()}`)

  async function button(who: Who, on: 'preview' | 'consult', wanted: (does: ChoiceAction) => boolean): Promise<string> {
    const buttons = [...(await htmlOf(who, on)).matchAll(/name="does"[^>]* value="([^"]+)"/g)].map(([, does]) =>
      unescaped(does ?? ''),
    )
    const found = buttons.find((does) => wanted(JSON.parse(does) as ChoiceAction))
    if (found === undefined) throw new Error(`no such button on the ${on} among ${buttons.join(' ')}`)
    return found
  }

  return {
    store: page.store,
    say: (who, text) => act(who, '/ask', [['text', text]]),
    write: async (who, text) => act(who, `/consult/${await ref()}/say`, [['text', text]]),
    press: async (who, on, does) => act(who, '/choose', [['does', await button(who, on, does)]]),
    async fill(who, on, form, answers) {
      const address = await send(who, '/choose', [['does', await button(who, on, opens(form))]])
      const { values, options } = fieldsOf(await get(who, address))
      for (const [field, answer] of Object.entries(answers)) {
        const name = `f:${field}`
        values.set(name, [options.get(name)?.get(answer) ?? answer])
      }
      const fields = [...values].filter(([name]) => !['token', 'once', 'q'].includes(name))
      await act(
        who,
        '/form',
        fields.flatMap(([name, all]) => all.map((value) => [name, value] as const)),
      )
    },
    async stop() {
      await page.stop()
      rmSync(folder, { recursive: true })
    },
  }
}
