import type { FastifyInstance } from 'fastify'
import type { Learning } from '../../src/learning/learning.js'
import { learningTables } from '../../src/learning/learning-tables.js'
import { BASE_RATES, type BaseRate } from '../../src/learning/rupture-chart.js'
import { csvRecord } from '../../src/trail/csv.js'
import { learningHtml } from '../../src/views/learning-page.js'
import { escapeHtml } from '../../src/views/page.js'
import type { LearningNeeds } from './page-needs.js'
import { html, notice } from './replying.js'

/** What each file of numbers holds, by the name of its table. */
const TABLE_WORDS: Readonly<Record<string, string>> = {
  'prediction-error': 'prediction error by formula and length',
  'single-constants': 'proposals for one constant',
  'haigis-constants': 'proposals for three constants',
  'capsule-rupture': 'capsule rupture, operation by operation',
  opinions: 'opinions and what happened',
}

const SECONDS_TO_WAIT = 20

interface Asked {
  readonly Querystring: { readonly rate?: string }
  readonly Params: { readonly file: string }
}

/** `/learning`: what the consults taught, and each of its tables as a file of numbers. */
export function learningRoutes(app: FastifyInstance, { learning }: LearningNeeds, ordinarily: BaseRate): void {
  const rateOf = (rate: string | undefined): BaseRate => BASE_RATES.find(({ id }) => id === rate) ?? ordinarily

  app.get<Asked>('/learning', async (request, reply) => {
    const chosen = rateOf(request.query.rate)
    const learnt = await learning(chosen)
    if (learnt === 'being-read')
      return notice(
        reply.header('retry-after', SECONDS_TO_WAIT),
        503,
        'Still counting',
        'This trail is long and is being gone through. Ask for this page again in a little while; nothing has gone wrong.',
      )
    return html(reply, { title: 'What the consults taught', main: `${learningHtml(learnt)}\n${otherForms(learnt, chosen)}` })
  })

  app.get<Asked>('/learning/:file', async (request, reply) => {
    const name = request.params.file.replace(/\.csv$/, '')
    if (!Object.hasOwn(TABLE_WORDS, name) || name === request.params.file)
      return notice(reply, 404, 'No such table', 'The tables are named at the end of the learning page.')
    const learnt = await learning(rateOf(request.query.rate))
    if (learnt === 'being-read')
      return notice(
        reply.header('retry-after', SECONDS_TO_WAIT),
        503,
        'Still counting',
        'Ask for this table again in a little while.',
      )
    const { columns, rows } = learningTables(learnt).find((table) => table.name === name) ?? { columns: [], rows: [] }
    return reply
      .header('content-disposition', `attachment; filename="${name}.csv"`)
      .type('text/csv; charset=utf-8; header=present')
      .send([columns, ...rows].map(csvRecord).join(''))
  })
}

/** Other rates to expect ruptures at, the numbers as files, and whose consults these are. */
function otherForms(learnt: Learning, chosen: BaseRate): string {
  const at = (rate: BaseRate) => `?rate=${encodeURIComponent(rate.id)}`
  const rates = BASE_RATES.filter(({ id }) => id !== chosen.id).map(
    (rate) => `<li><a href="/learning${at(rate)}#learning-ruptures">${escapeHtml(rate.words)}</a></li>`,
  )
  const files = learningTables(learnt).map(
    ({ name }) => `<li><a href="/learning/${name}.csv${at(chosen)}" download>${escapeHtml(TABLE_WORDS[name] ?? name)}</a></li>`,
  )
  return `<section aria-labelledby="rates-title">
<h2 id="rates-title">Expected ruptures at another rate</h2>
<ul class="consults">${rates.join('')}</ul>
</section>
<section aria-labelledby="files-title">
<h2 id="files-title">The numbers, unrounded (CSV)</h2>
<ul class="consults">${files.join('')}</ul>
</section>
<p class="hint">Counted anew when it is some minutes old. For chosen days: <code>soundings learning</code>.</p>
<p><a href="/">Back to the start</a></p>`
}
