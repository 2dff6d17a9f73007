import type { FastifyInstance } from 'fastify'
import type { Sheet } from '../../src/desk/sheets.js'
import { cardHtml } from '../../src/views/page.js'
import { printPage } from '../../src/views/print-page.js'
import { policyFor } from './document.js'
import type { PageNeeds } from './page-needs.js'
import { hiddenFields, sayPart, whoPart } from './parts.js'
import { fresh, html, notice, visitorOf } from './replying.js'
import { threadPart } from './thread-part.js'
import { personOf } from './visitor.js'

/** The sheets that a surgeon takes along: two columns where many short lines have to fit one page. */
const SHEETS: readonly { readonly id: Sheet; readonly words: string; readonly columns: 1 | 2 }[] = [
  { id: 'record', words: 'Summary for the medical record', columns: 1 },
  { id: 'theatre', words: 'Theatre sheet', columns: 2 },
  { id: 'consent', words: 'Wording for the consent, to be edited', columns: 1 },
]

const sheetLinks = (ref: string): string => `<section aria-labelledby="sheets-title">
<h2 id="sheets-title">To print or copy</h2>
<ul class="consults">${SHEETS.map(({ id, words }) => `<li><a href="/consult/${encodeURIComponent(ref)}/${id}">${words}</a></li>`).join('')}</ul>
</section>`

export function consultRoutes(app: FastifyInstance, needs: PageNeeds): void {
  app.get<{ Params: { ref: string } }>('/consult/:ref', async (request, reply) => {
    const visitor = visitorOf(request, reply)
    const consult = await needs.consult(request.params.ref, personOf(visitor))
    if (!consult) return notice(reply, 404, 'No such consult', 'There is no consult under this reference.')
    const main = [
      cardHtml(consult.card, { isPage: true, formAction: '/choose', formExtras: hiddenFields(visitor, fresh()) }),
      threadPart(visitor, fresh(), request.params.ref, consult.said),
      sayPart(visitor, fresh(), request.params.ref),
      sheetLinks(request.params.ref),
      whoPart(visitor, fresh()),
    ]
    return html(reply, { title: consult.card.title, main: main.join('\n') })
  })

  app.get<{ Params: { ref: string; sheet: string } }>('/consult/:ref/:sheet', async (request, reply) => {
    const { ref, sheet } = request.params
    const named = SHEETS.find(({ id }) => id === sheet)
    const card = named === undefined ? undefined : await needs.sheet(ref, named.id, personOf(visitorOf(request, reply)))
    if (card === undefined || named === undefined)
      return notice(reply, 404, 'No such sheet', 'There is no such sheet of a consult here.')
    const page = printPage(card, { columns: named.columns })
    return reply.header('content-security-policy', policyFor(page)).type('text/html; charset=utf-8').send(page)
  })
}
