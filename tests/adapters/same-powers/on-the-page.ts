import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pageNeeds } from '../../../adapters/page-needs.js'
import { pageApp } from '../../../adapters/web/page-app.js'
import { webSender } from '../../../adapters/web/sender.js'
import { waitingAnswers } from '../../../adapters/web/waiting.js'
import type { ChoiceAction } from '../../../src/cards/card.js'
import { startWholeWay, TODAY } from '../../tools/whole-way.js'
import { visitor } from '../web/a-page.js'
import { type Chat, NAMES, opens, settled, type Who } from './chat.js'

/** The page and everything behind it, over a store that can be looked into. */
const startPage = (trail: string) =>
  startWholeWay('web', trail, async ({ store, accept, asked, clock }) => {
    const answers = waitingAnswers()
    const page = await pageApp(
      pageNeeds({ store, accept, answers, today: () => TODAY, clock, hosts: new Set(['127.0.0.1']), asked }),
      (fault) => {
        throw fault
      },
    )
    return {
      url: await page.listen({ port: 0, host: '127.0.0.1' }),
      sender: webSender(answers),
      stop: () => page.close(),
    }
  })

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
