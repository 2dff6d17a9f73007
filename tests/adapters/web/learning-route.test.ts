import fastify from 'fastify'
import { describe, expect, it } from 'vitest'
import { learningRoutes } from '../../../adapters/web/learning-route.js'
import { learnFrom } from '../../../src/learning/learning.js'
import { BASE_RATES } from '../../../src/learning/rupture-chart.js'
import { inventedLessons } from '../../learning/a-taught-trail.js'

const lessons = inventedLessons(24)

async function ask(url: string) {
  const [ordinarily] = BASE_RATES
  const app = fastify()
  learningRoutes(
    app,
    { learning: async (baseRate) => learnFrom(lessons, { made: '2026-11-24', consults: 30, unread: 0, baseRate }) },
    ordinarily,
  )
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
})
