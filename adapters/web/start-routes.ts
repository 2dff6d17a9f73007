import type { FastifyInstance } from 'fastify'
import { z } from 'zod'
import { cardHtml } from '../../src/views/page.js'
import { linksTo } from './links.js'
import type { PageNeeds } from './page-needs.js'
import { askPart, consultList, hiddenFields, whoPart } from './parts.js'
import { forged, fresh, html, notice, once, senderOf, visitorOf } from './replying.js'
import { personOf, type Visitor, visitorCookie } from './visitor.js'

const meForm = z.object({
  name: z.string().trim().min(1).max(80),
  grade: z.string().trim().max(60),
  field: z.string().trim().max(60),
})

/** What waits for the visitor and what they have asked, with the way there. */
async function homePart(needs: PageNeeds, visitor: Visitor): Promise<{ readonly html: string; readonly waits: boolean }> {
  const card = await needs.home(personOf(visitor))
  const shown = (isPage: boolean) => cardHtml(card, { isPage, formAction: '/choose', formExtras: hiddenFields(visitor, fresh()) })
  const links = await linksTo(needs, shown(false))
  const waits = links !== ''
  // whatever stands first has the page's one first-level heading
  return { html: `${shown(waits)}${links}`, waits }
}

export function startRoutes(app: FastifyInstance, needs: PageNeeds): void {
  app.get('/favicon.ico', async (_request, reply) => reply.code(204).send())

  app.get<{ Querystring: { draft?: unknown } }>('/', async (request, reply) => {
    const visitor = visitorOf(request, reply)
    const asked = once(request.query.draft)
    const draft = asked === '' ? undefined : await needs.draft(asked)
    const text = draft && 'text' in draft && draft.by === visitor.id ? draft.text : ''
    const home = await homePart(needs, visitor)
    const ask = askPart(visitor, fresh(), text, home.waits ? 'h2' : 'h1')
    const main = [
      // what waits is seen first by whoever it waits for; everybody else comes to put a case
      ...(home.waits ? [home.html, ask] : [ask, home.html]),
      whoPart(visitor, fresh()),
      consultList('Newest consults', await needs.newest(20), 'No consult yet.'),
      '<p><a href="/learning">What the consults taught</a></p>',
    ]
    return html(reply, { title: 'Put a case', main: main.join('\n') })
  })

  app.post('/me', async (request, reply) => {
    const visitor = senderOf(request)
    if (!visitor) return forged(reply)
    const form = meForm.safeParse(request.body)
    if (!form.success) return notice(reply, 400, 'Name missing', 'Write your name; grade and field may stay empty.')
    const { name, grade, field } = form.data
    const described = { ...visitor, name, grade: grade || undefined, field: field || undefined }
    return reply.header('set-cookie', visitorCookie(described)).redirect('/', 303)
  })

  app.get<{ Querystring: { q?: unknown } }>('/find', async (request, reply) => {
    const words = once(request.query.q)
    const { card, refused } = await needs.find(words, personOf(visitorOf(request, reply)))
    const shown = cardHtml(card, { isPage: true, formAction: '/choose', formExtras: '' })
    // what may identify a patient is not shown again, not even to the one who typed it
    return html(reply, { title: 'Found', query: refused ? '' : words, main: `${shown}${await linksTo(needs, shown)}` })
  })
}
