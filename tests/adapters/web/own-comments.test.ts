import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { unpackText } from '../../../adapters/store/text-packing.js'
import { CASE_MESSAGE, choiceOn, startTestPage, type TestPage, visitor } from './a-page.js'

let page: TestPage
let author: Awaited<ReturnType<typeof visitor>>
let colleague: Awaited<ReturnType<typeof visitor>>
let ref: string
let count = 0

const once = () => `once-${++count}`
const consult = async (reader: typeof author) => (await reader.get(`/consult/${ref}`)).text()
const ownIn = (html: string): string | undefined => /name="message" value="([^"]+)"/.exec(html)?.[1]
const say = (text: string) => author.answerTo(`/consult/${ref}/say`, { text, once: once() })

beforeAll(async () => {
  page = await startTestPage()
  author = await visitor(page.url)
  colleague = await visitor(page.url)
  const preview = await author.answerTo('/ask', { text: CASE_MESSAGE, once: once() })
  const posted = await author.answerTo('/choose', { does: choiceOn(preview, 'Post'), once: once() })
  ref = /\/consult\/([A-Z]+-\d+)/.exec(posted)?.[1] ?? ''
})
afterAll(() => page.stop())

describe('a comment on the page', () => {
  it('can be changed by its author, says that it was, and is kept in the trail as a change', async () => {
    await say('Seen the scan.')
    const message = ownIn(await consult(author)) ?? ''
    expect(message).not.toBe('')
    const told = await author.answerTo(`/consult/${ref}/comment`, {
      act: 'change',
      message,
      text: 'Seen both scans.',
      once: once(),
    })
    expect(told).toContain(`Your comment on ${ref} reads as you wrote it now`)
    const html = await consult(author)
    expect(html).toContain('Seen both scans.')
    expect(html).toContain('changed since')
    expect(html).not.toContain('Seen the scan.')
  })

  it('is not offered to anybody else, and refused to them', async () => {
    const message = ownIn(await consult(author)) ?? ''
    expect(ownIn(await consult(colleague))).toBeUndefined()
    for (const act of ['change', 'take-back']) {
      const told = await colleague.answerTo(`/consult/${ref}/comment`, { act, message, text: 'Not mine.', once: once() })
      expect(told).toContain('Not done')
    }
    expect(await consult(author)).toContain('Seen both scans.')
  })

  it('is not emptied, and takes in nothing that may identify a patient', async () => {
    const message = ownIn(await consult(author)) ?? ''
    const change = (text: string) => author.answerTo(`/consult/${ref}/comment`, { act: 'change', message, text, once: once() })
    expect(await change('  ')).toContain('Not done')
    const told = await change('Mr John Smith, born 03/04/1961')
    expect(told).toContain('Not taken in')
    expect(told).not.toContain('Smith')
    expect(await consult(author)).toContain('Seen both scans.')
  })

  it('can be taken back: the page no longer shows it, the trail keeps that it was made', async () => {
    const message = ownIn(await consult(author)) ?? ''
    const told = await author.answerTo(`/consult/${ref}/comment`, { act: 'take-back', message, text: '', once: once() })
    expect(told).toContain('is taken back')
    expect(await consult(author)).not.toContain('Seen both scans.')
    const again = await author.answerTo(`/consult/${ref}/comment`, { act: 'take-back', message, text: '', once: once() })
    expect(again).toContain('Not done')
    const trail = new Database(join(page.folder, 'trail.db'), { readonly: true })
    const types = trail
      .prepare<[string], { body: Buffer }>('select body from events where ref = ? order by version')
      .all(ref)
      .map(({ body }) => (JSON.parse(unpackText(body)) as { type: string }).type)
    trail.close()
    expect(types.slice(-3)).toEqual(['comment-made', 'comment-edited', 'comment-deleted'])
  })

  it('needs the token of its own page', async () => {
    const refused = await author.send(
      `/consult/${ref}/comment`,
      { act: 'take-back', message: 'x', text: '', once: once() },
      'f'.repeat(32),
    )
    expect(refused.status).toBe(403)
  })
})
