import { createHash } from 'node:crypto'
import { readdir, readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { CASE_MESSAGE, choiceOn, startTestPage, type TestPage, visitor } from './a-page.js'

let page: TestPage
beforeAll(async () => {
  page = await startTestPage()
})
afterAll(() => page.stop())

const fresh = (() => {
  let count = 0
  return () => {
    count += 1
    return `once-${count}`
  }
})()

async function asked() {
  const asker = await visitor(page.url)
  const preview = await asker.answerTo('/ask', { text: CASE_MESSAGE, once: fresh() })
  const posted = await asker.answerTo('/choose', { does: choiceOn(preview, 'Post'), once: fresh() })
  const ref = /\/consult\/([A-Z]+-\d+)/.exec(posted)?.[1] ?? ''
  return { asker, ref }
}
const consult = async ({ asker, ref }: Awaited<ReturnType<typeof asked>>) => (await asker.get(`/consult/${ref}`)).text()

describe('a form on the page', () => {
  it('is opened by its button, filled in with what is known', async () => {
    const asker = await visitor(page.url)
    const preview = await asker.answerTo('/ask', { text: CASE_MESSAGE, once: fresh() })
    const sent = await asker.send('/choose', { does: choiceOn(preview, 'Who is asked'), once: fresh() })
    expect(sent.status).toBe(303)
    const form = await (await asker.get(sent.headers.get('location') ?? '')).text()
    expect(form).toContain('K1 42.10@95 K2 43.20@5')
    const stranger = await visitor(page.url)
    expect(await (await stranger.get(sent.headers.get('location') ?? '')).text()).not.toContain('42.10@95')
    expect(form).toContain('name="f:urgency"')
    expect(form).not.toContain('name="f:channel"')
  })

  it('comes back with what was typed and with what is wrong beside the field, and nothing is recorded', async () => {
    const one = await asked()
    const answers = { form: 'decide', ref: one.ref, 'f:planA': 'Chop <slowly>', 'f:operates': 'consultant', 'f:lens': '9.0' }
    const sent = await one.asker.send('/form', { ...answers, once: fresh() })
    expect(sent.status).toBe(422)
    const form = await sent.text()
    expect(form).toContain('role="alert"')
    expect(form).toContain('The sign of the lens power is missing: write +9.0 or −9.0')
    expect(form).toContain('Chop &lt;slowly&gt;')
    expect(await consult(one)).not.toContain('Chop &lt;slowly&gt;')
  })

  it('is recorded once nothing is wrong, and the lens is read back with its sign in words', async () => {
    const one = await asked()
    const decided = await one.asker.answerTo('/form', {
      form: 'decide',
      ref: one.ref,
      'f:planA': 'Chop slowly',
      'f:operates': 'consultant',
      'f:lens': '+9.0',
      once: fresh(),
    })
    expect(decided).toContain('+9.0 D (plus 9.0)')
    const shown = await consult(one)
    expect(shown).toContain('Chop slowly')
    expect(shown).toContain('+9.0 D (plus 9.0)')
  })

  it('that may identify a patient says which kind, shows it to nobody again, and keeps nothing of it', async () => {
    const one = await asked()
    const sent = await one.asker.send('/form', {
      form: 'change',
      ref: one.ref,
      'f:items': 'Mrs Zebrowskaya, DOB 12/03/1961',
      once: fresh(),
    })
    expect(sent.status).toBe(422)
    const form = await sent.text()
    expect(form).toMatch(/date of birth/i)
    expect(form).not.toMatch(/Zebrowskaya|1961/)
    const files = await readdir(page.folder)
    const disk = (await Promise.all(files.map((file) => readFile(join(page.folder, file), 'latin1')))).join('')
    expect(disk).not.toContain('Zebrowskaya')
  })

  it('of nobody’s making is refused', async () => {
    const one = await asked()
    const forged = await one.asker.send('/form', { form: 'decide', ref: one.ref, once: fresh() }, 'f'.repeat(32))
    expect(forged.status).toBe(403)
    expect((await one.asker.get('/form?form=decide&ref=NOWHERE-1')).status).toBe(404)
    expect((await one.asker.get('/form?form=other')).status).toBe(404)
    expect((await one.asker.send('/form', { form: 'other', once: fresh() })).status).toBe(400)
  })
})

describe('the start page', () => {
  it('shows a person their own open consults, and nobody else’s', async () => {
    const one = await asked()
    const own = await (await one.asker.get('/')).text()
    const part = (html: string) => html.slice(html.indexOf('Your consults'), html.indexOf('Newest consults'))
    expect(part(own)).toContain(one.ref)
    const stranger = await visitor(page.url)
    expect(part(await (await stranger.get('/')).text())).not.toContain(one.ref)
  })
})

describe('the sheets of a consult', () => {
  it.each(['record', 'theatre', 'consent'])('%s is a page of its own that loads and runs nothing', async (sheet) => {
    const one = await asked()
    expect(await consult(one)).toContain(`/consult/${one.ref}/${sheet}`)
    const response = await one.asker.get(`/consult/${one.ref}/${sheet}`)
    expect(response.status).toBe(200)
    const html = await response.text()
    const style = /<style>([^<]*)<\/style>/.exec(html)?.[1] ?? ''
    const hash = createHash('sha256').update(style).digest('base64')
    expect(response.headers.get('content-security-policy')).toContain(`default-src 'none'; style-src 'sha256-${hash}'`)
    expect(html).not.toMatch(/<script|<link|src="http/i)
  })

  it('exist for consults that exist, under their own names', async () => {
    const one = await asked()
    for (const path of [`/consult/${one.ref}/other`, '/consult/NOWHERE-1/record'])
      expect((await one.asker.get(path)).status).toBe(404)
  })
})
