import fastify from 'fastify'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { learningRoutes } from '../../../adapters/web/learning-route.js'
import type { LearningNeeds } from '../../../adapters/web/page-needs.js'
import { learnFrom } from '../../../src/learning/learning.js'
import { learningTables } from '../../../src/learning/learning-tables.js'
import { BASE_RATES, ORDINARY_BASE_RATE } from '../../../src/learning/rupture-chart.js'
import { inventedLessons } from '../../learning/a-taught-trail.js'
import { parsedCsv } from '../../trail/parsed-csv.js'
import { CASE_MESSAGE, choiceOn, startTestPage, type TestPage, visitor } from './a-page.js'

const lessons = inventedLessons(24)
const learning: LearningNeeds['learning'] = async (baseRate) =>
  learnFrom(lessons, { made: '2026-11-24', consults: 30, unread: 0, baseRate })

async function ask(url: string, needs: LearningNeeds = { learning }) {
  const [ordinarily] = BASE_RATES
  const app = fastify()
  learningRoutes(app, needs, ordinarily)
  const answer = await app.inject({ url })
  await app.close()
  return answer
}

describe('the route of the learning page', () => {
  it('shows what the consults taught, under the usual head of the page', async () => {
    const { statusCode, headers, body } = await ask('/learning')
    expect(statusCode).toBe(200)
    expect(headers['content-type']).toBe('text/html; charset=utf-8')
    expect(body).toContain('30 consults up to 2026-11-24; 24 with an outcome on record.')
    expect(body).toContain('class="home"')
    expect(body).not.toMatch(/\sstyle="|<script/)
  })

  it('carries what is expected to another rate when asked, and to the ordinary one for a rate that is unknown', async () => {
    expect((await ask('/learning?rate=2023-24')).body).toMatch(/expected \(UK 2023–24, 0.69 %\)/)
    expect((await ask('/learning?rate=%3Cscript%3E')).body).toMatch(/expected \(as published, UK 2001–06, 1.92 %\)/)
  })

  it('gives each table that it links to as a file of numbers, unrounded, at the rate that was chosen', async () => {
    const { body } = await ask('/learning?rate=2023-24')
    const links = [...body.matchAll(/href="(\/learning\/[^"]+\.csv\?rate=2023-24)"/g)].map(([, address]) => address ?? '')
    const rate = BASE_RATES.find(({ id }) => id === '2023-24') ?? ORDINARY_BASE_RATE
    const learnt = await learning(rate)
    if (learnt === 'being-read') throw new Error('these lessons are read')
    const tables = learningTables(learnt)
    expect(links).toHaveLength(tables.length)
    for (const [index, address] of links.entries()) {
      const file = await ask(address)
      const table = tables[index]
      expect(file.headers['content-type']).toBe('text/csv; charset=utf-8; header=present')
      expect(file.headers['content-disposition']).toBe(`attachment; filename="${table?.name}.csv"`)
      const [head, ...rows] = parsedCsv(file.body)
      expect(head).toEqual(table?.columns)
      expect(rows).toEqual(table?.rows.map((row) => row.map((cell) => (cell === undefined ? '' : String(cell)))))
    }
  })

  it.each(['/learning/other.csv', '/learning/opinions', '/learning/constructor.csv', '/learning/..%2Fopinions.csv'])(
    'has nothing at %s',
    async (address) => {
      expect((await ask(address)).statusCode).toBe(404)
    },
  )

  it('says that a long trail is still being gone through, and when to ask again', async () => {
    const needs: LearningNeeds = { learning: async () => 'being-read' }
    for (const address of ['/learning', '/learning/opinions.csv']) {
      const { statusCode, headers, body } = await ask(address, needs)
      expect([statusCode, headers['retry-after']]).toEqual([503, '20'])
      expect(body).toContain('Still counting')
    }
  })
})

describe('the learning page of the program', () => {
  let page: TestPage
  beforeAll(async () => {
    page = await startTestPage()
  })
  afterAll(() => page.stop())

  it('is linked from the start, runs under the same policy, and counts an outcome once it is recorded', async () => {
    const asker = await visitor(page.url)
    expect(await (await asker.get('/')).text()).toContain('href="/learning"')
    const preview = await asker.answerTo('/ask', { text: CASE_MESSAGE, once: 'ask' })
    const posted = await asker.answerTo('/choose', { does: choiceOn(preview, 'Post'), once: 'post' })
    const ref = /\/consult\/([A-Z]+-\d+)/.exec(posted)?.[1] ?? ''
    await asker.answerTo('/form', {
      form: 'outcome',
      ref,
      'f:stage': 'operation',
      'f:on': '2026-03-02',
      'f:lens': '+9.0',
      'f:complications': 'none',
      once: 'outcome',
    })
    const response = await asker.get('/learning')
    const html = await response.text()
    expect(response.headers.get('content-security-policy')).toContain("default-src 'none'")
    expect(html).toContain('1 consult up to ')
    expect(html).toMatch(/1: no refraction at four to six weeks/)
    expect(html).not.toMatch(/<script|<link|src="http/i)
    expect((await asker.get('/learning/capsule-rupture.csv')).status).toBe(200)
  })
})
