import type { FastifyInstance } from 'fastify'
import type { Learning } from '../../src/learning/learning.js'
import { BASE_RATES, type BaseRate } from '../../src/learning/rupture-chart.js'
import { learningHtml } from '../../src/views/learning-page.js'
import { escapeHtml } from '../../src/views/page.js'
import { documentOf } from './document.js'

/** What the learning page needs: everything that the visitor's own consults taught, at a base rate. */
export interface LearningNeeds {
  learning(baseRate: BaseRate): Promise<Learning>
}

/** `/learning`: what the consults taught. The figures change slowly, so whoever wires it may keep them for a while. */
export function learningRoutes(app: FastifyInstance, { learning }: LearningNeeds, ordinarily: BaseRate): void {
  app.get<{ Querystring: { rate?: string } }>('/learning', async (request, reply) => {
    const chosen = BASE_RATES.find(({ id }) => id === request.query.rate) ?? ordinarily
    const others = BASE_RATES.filter(({ id }) => id !== chosen.id).map(
      ({ id, words }) => `<a href="/learning?rate=${encodeURIComponent(id)}">${escapeHtml(words)}</a>`,
    )
    const main = `${learningHtml(await learning(chosen))}
<p class="hint">Expected capsule ruptures at another rate: ${others.join(' · ')}</p>
<p><a href="/">Back to the start</a></p>`
    return reply.type('text/html; charset=utf-8').send(documentOf({ title: 'What the consults taught', main }))
  })
}
