import { readdir, readFile } from 'node:fs/promises'
import { request } from 'node:http'
import { connect } from 'node:net'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { serve } from '../../../adapters/main.js'
import { readSettings } from '../../../adapters/settings.js'
import { CASE_MESSAGE, choiceOn, startTestPage, type TestPage, visitor } from './a-page.js'

let page: TestPage
beforeAll(async () => {
  page = await startTestPage()
})
afterAll(() => page.stop())

const consultsOf = (html: string): readonly string[] => [
  ...new Set([...html.matchAll(/\/consult\/([A-Z]+-\d+)/g)].map(([, ref]) => ref ?? '')),
]

async function bytesOnDisk(folder: string): Promise<string> {
  const files = await readdir(folder)
  return (await Promise.all(files.map((file) => readFile(join(folder, file), 'latin1')))).join('')
}

/** One consult put by a new visitor. */
async function putCase(message = CASE_MESSAGE) {
  const asker = await visitor(page.url)
  const preview = await asker.answerTo('/ask', { text: message, once: `ask-${Math.random()}` })
  const posted = await asker.answerTo('/choose', { does: choiceOn(preview, 'Post'), once: `post-${Math.random()}` })
  const ref = consultsOf(posted)[0] ?? ''
  return { asker, preview, posted, ref }
}

describe('putting a case on the page', () => {
  it('shows first how each item was read, then the card that a colleague sees, and keeps it over a restart', async () => {
    const { asker, preview, ref } = await putCase()
    expect(preview).toContain('29.60')
    expect(preview).toContain('Left eye (OS)')
    const shown = await (await asker.get(`/consult/${ref}`)).text()
    expect(shown).toContain('+9.0 D')
    expect(shown).toContain('−1.75 D')
    const headings = [...(await (await asker.get('/')).text()).matchAll(/<(h[1-6])\b/g)].map(([, level]) => level)
    expect([headings[0], headings.filter((level) => level === 'h1').length]).toEqual(['h1', 1])
    await page.restart()
    const after = await (await asker.get(`/consult/${ref}`)).text()
    expect(after.replace(/value="[^"]*"/g, '')).toBe(shown.replace(/value="[^"]*"/g, ''))
    expect(await (await asker.get('/')).text()).toContain(ref)
  })

  it('makes one consult of a form that was sent twice', async () => {
    const asker = await visitor(page.url)
    const before = consultsOf(await (await asker.get('/')).text()).length
    const preview = await asker.answerTo('/ask', { text: CASE_MESSAGE, once: 'twice' })
    await asker.answerTo('/ask', { text: CASE_MESSAGE, once: 'twice' })
    const does = choiceOn(preview, 'Post')
    await Promise.all([1, 2].map(() => asker.answerTo('/choose', { does, once: 'twice-post' })))
    await asker.answerTo('/choose', { does, once: 'pressed-again' })
    expect(consultsOf(await (await asker.get('/')).text()).length).toBe(before + 1)
  })

  it('gives the message back for correction', async () => {
    const asker = await visitor(page.url)
    const preview = await asker.answerTo('/ask', { text: CASE_MESSAGE, once: 'correct' })
    const sent = await asker.send('/choose', { does: choiceOn(preview, 'Correct'), once: 'correct-2' })
    const form = await (await asker.get(sent.headers.get('location') ?? '')).text()
    expect(form).toContain('K1 42.10@95 K2 43.20@5')
    const stranger = await visitor(page.url)
    expect(await (await stranger.get(sent.headers.get('location') ?? '')).text()).not.toContain(
      'rows="9" required aria-describedby="text-hint" spellcheck="false">LE',
    )
  })

  it('refuses what identifies a patient, names kind and line without repeating it, and stores nothing of it', async () => {
    const asker = await visitor(page.url)
    const answer = await asker.answerTo('/ask', { text: `${CASE_MESSAGE}\nDOB 12/03/1961, Mrs Zebrowskaya`, once: 'identifying' })
    expect(answer).not.toContain('Zebrowskaya')
    expect(answer).toMatch(/date of birth/i)
    expect(answer).toMatch(/line 3/i)
    const disk = await bytesOnDisk(page.folder)
    expect(disk).not.toContain('Zebrowskaya')
    expect(disk).not.toContain('12/03/1961')
  })

  it.each([
    ['nothing', ''],
    ['spaces', '  \n '],
    ['a call for help', 'help'],
    ['words that are no case', 'hello there'],
    ['far too much text', 'AL 23.5 '.repeat(125_000)],
  ])('answers %s with something useful', async (_name, text) => {
    const asker = await visitor(page.url)
    const answer = await asker.answerTo('/ask', { text, once: `useless-${text.length}` })
    expect(answer).toContain('<h1>')
    expect(answer).not.toContain('Something went wrong')
  })

  it('shows text as text', async () => {
    const { asker, ref } = await putCase(`${CASE_MESSAGE} <script>alert(1)</script> & "so" on`)
    const shown = await (await asker.get(`/consult/${ref}`)).text()
    expect(shown).not.toContain('<script')
    expect(shown).toContain('&lt;script&gt;')
  })
})

describe('answering on the page', () => {
  it('shows an opinion with grade and field, changed by a later one, and a comment in the thread', async () => {
    const { ref } = await putCase()
    const senior = await visitor(page.url)
    const kept = await senior.send('/me', { name: 'Consultant C (invented)', grade: 'consultant', field: 'cornea' })
    const cookie = (kept.headers.get('set-cookie') ?? '').split(';')[0] ?? ''
    const asSenior = { headers: { cookie } }
    const say = (path: string, fields: Record<string, string>) =>
      fetch(new URL(path, page.url), {
        ...asSenior,
        method: 'POST',
        body: new URLSearchParams({ token: senior.token, ...fields }),
      })
    const card = await (await fetch(new URL(`/consult/${ref}`, page.url), asSenior)).text()
    await say('/choose', { does: choiceOn(card, 'Agree'), once: 'o1' })
    await say(`/consult/${ref}/say`, { text: 'need: a cell count first', once: 'o2' })
    await say(`/consult/${ref}/say`, { text: 'I can scrub on Thursday', once: 'o3' })
    const shown = await (await fetch(new URL(`/consult/${ref}`, page.url), asSenior)).text()
    expect(shown).toMatch(/Need this first[^<]*consultant, cornea[^<]*Consultant C/)
    expect(shown).toContain('a cell count first')
    expect(shown).toContain('I can scrub on Thursday')
  })

  it('refuses the asker an opinion on their own case, and says why', async () => {
    const { asker, ref } = await putCase()
    const card = await (await asker.get(`/consult/${ref}`)).text()
    expect(await asker.answerTo('/choose', { does: choiceOn(card, 'Agree'), once: 'own' })).toMatch(/own/i)
  })
})

describe('finding', () => {
  it('finds a consult by words of its case and by its reference', async () => {
    const { asker, ref } = await putCase(CASE_MESSAGE.replace('? chop or manual', 'staphyloma; ? quokka'))
    expect(await (await asker.get('/find?q=quokka')).text()).toContain(ref)
    expect(await (await asker.get(`/find?q=${ref}`)).text()).toContain(ref)
    expect(await (await asker.get('/find?q=%22%28%20xyzzy')).text()).toContain('Nothing found')
    expect(await (await asker.get('/find?q=AL%3E')).text()).toContain('A number is missing after the sign')
    expect(await (await asker.get('/find?q=step%3Achopping')).text()).toContain('There is no such step')
    expect(await (await asker.get('/find?q=DOB%201950-01-01')).text()).toContain('Date of birth')
  })

  it('does not write out again what was looked for where it may identify a patient', async () => {
    const asker = await visitor(page.url)
    const answer = await (await asker.get('/find?q=Mrs%20Zebrowskaya')).text()
    expect(answer).not.toContain('Zebrowskaya')
    expect(await (await asker.get('/find?q=quokka')).text()).toContain('value="quokka"')
  })
})

describe('what the page refuses', () => {
  it('a form without its own token', async () => {
    const asker = await visitor(page.url)
    expect((await asker.send('/ask', { text: CASE_MESSAGE, once: 'x' }, 'f'.repeat(32))).status).toBe(403)
    expect(
      (await fetch(new URL('/ask', page.url), { method: 'POST', body: new URLSearchParams({ text: 'x', once: 'x' }) })).status,
    ).toBe(403)
  })

  const askedWith = (headers: Record<string, string>, path = '/') =>
    new Promise<number>((resolve, reject) => {
      request({ host: '127.0.0.1', port: new URL(page.url).port, path, headers }, (response) => {
        response.resume()
        resolve(response.statusCode ?? 0)
      })
        .on('error', reject)
        .end()
    })

  it('another host name, as a page on another site would use', async () => {
    expect(await askedWith({ host: 'rebound.example' })).toBe(421)
  })

  it.each(['forwarded', 'via', 'x-forwarded-for', 'x-real-ip'])(
    'what a proxy hands on under this machine’s own name, told by %s',
    async (header) => {
      expect(await askedWith({ [header]: '203.0.113.7' })).toBe(421)
      expect(await askedWith({ [header]: '203.0.113.7' }, '/healthz')).toBe(200)
    },
  )

  it('what a proxy hands on in the older protocol', async () => {
    const { port } = new URL(page.url)
    const first = await new Promise<string>((resolve, reject) => {
      const socket = connect(Number(port), '127.0.0.1', () => socket.write('GET / HTTP/1.0\r\nhost: 127.0.0.1\r\n\r\n'))
      socket.on('error', reject).once('data', (data) => resolve(data.toString('latin1').split('\r\n')[0] ?? ''))
    })
    expect(first).toContain(' 421 ')
  })

  it('what a page of another site loads in passing, and not a link that is followed from there', async () => {
    expect(await askedWith({ 'sec-fetch-site': 'cross-site', 'sec-fetch-mode': 'no-cors' })).toBe(403)
    expect(await askedWith({ 'sec-fetch-site': 'cross-site', 'sec-fetch-mode': 'navigate' })).toBe(200)
    expect(await askedWith({ 'sec-fetch-site': 'none', 'sec-fetch-mode': 'navigate' })).toBe(200)
  })

  it('an address that cannot be read, with the same care as any other', async () => {
    const answer = await (await visitor(page.url)).get('/consult/%E0%A4%A')
    expect(answer.status).toBe(400)
    expect(answer.headers.get('content-security-policy')).toContain("default-src 'none'")
    expect(await answer.text()).not.toContain('%E0')
  })

  it.each([
    '/find?q=a&q=b',
    '/?draft=a&draft=b',
    '/learning?rate=a&rate=b',
    '/form?form=ask&form=ask',
    '/find?q[]=a&__proto__=b',
  ])('nothing of %s with a fault of its own', async (path) => {
    expect((await (await visitor(page.url)).get(path)).status).toBeLessThan(500)
  })

  it('an answer to what is no consult', async () => {
    const asker = await visitor(page.url)
    const sent = await asker.send('/consult/find/say', { text: CASE_MESSAGE, once: 'nowhere' })
    expect(sent.status).toBe(404)
  })

  it('a choice that is none of ours, and an address that leads nowhere', async () => {
    const asker = await visitor(page.url)
    expect((await asker.send('/choose', { does: '{"action":"drop-table"}', once: 'x' })).status).toBe(400)
    expect((await asker.send('/choose', { does: 'no JSON', once: 'x' })).status).toBe(400)
    expect((await asker.get('/consult/NONE-1')).status).toBe(404)
    expect((await asker.get('/nowhere')).status).toBe(404)
  })

  it('a second process on the same file', async () => {
    const read = readSettings({ DATABASE_URL: `sqlite:${join(page.folder, 'trail.db')}`, PORT: '0', LOG_LEVEL: 'silent' })
    if ('faults' in read) throw new Error('settings')
    const second = await serve(read.settings)
    expect(second).toHaveProperty('faults')
  })
})
