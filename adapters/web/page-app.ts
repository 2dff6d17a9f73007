import { randomBytes } from 'node:crypto'
import formbody from '@fastify/formbody'
import fastify, { type FastifyInstance, type FastifyReply, type FastifyRequest } from 'fastify'
import { z } from 'zod'
import type { Card } from '../../src/cards/card.js'
import { readChoiceAction } from '../../src/cards/choice-action.js'
import type { Place } from '../../src/consult/people.js'
import type { Inbound } from '../../src/desk/ports.js'
import type { KeptDraft } from '../../src/desk/store.js'
import type { Found } from '../../src/trail/trail-store.js'
import { cardHtml, escapeHtml } from '../../src/views/page.js'
import { CONTENT_SECURITY_POLICY, documentOf } from './document.js'
import { askPart, consultList, hiddenFields, sayPart, whoPart } from './parts.js'
import { newVisitor, personOf, tokenMatches, type Visitor, visitorCookie, visitorFrom } from './visitor.js'
import type { WaitingAnswers } from './waiting.js'

/** What the page needs of the desk and the trail. */
export interface PageNeeds {
  /** Guards, then keeps; durable when it returns. */
  accept(inbound: Inbound, key: string): Promise<void>
  answers: WaitingAnswers
  draft(id: string): Promise<KeptDraft | undefined>
  consult(
    ref: string,
  ): Promise<
    | { readonly card: Card; readonly said: readonly { readonly by: string; readonly at: string; readonly text: string }[] }
    | undefined
  >
  newest(count: number): Promise<readonly Found[]>
  find(words: string): Promise<readonly Found[]>
  /** Host names, without port, under which the page may be asked for. */
  hosts: ReadonlySet<string>
}

export const WEB_PLACE: Place = { platform: 'web', workspace: 'local', channel: 'page' }

/** A message of this many characters is refused by intake with guidance; beyond this the page does not even read it. */
const LARGEST_FORM_BYTES = 4 * 1024 * 1024
const PATIENCE_MS = 8000

const meForm = z.object({
  name: z.string().trim().min(1).max(80),
  grade: z.string().trim().max(60),
  field: z.string().trim().max(60),
})
const textForm = z.object({ text: z.string(), once: z.string().max(64) })
const choiceForm = z.object({ does: z.string().max(2000), sentence: z.string().max(4000).optional(), once: z.string().max(64) })

const fresh = (): string => randomBytes(12).toString('hex')

const html = (reply: FastifyReply, page: Parameters<typeof documentOf>[0], status = 200) =>
  reply.code(status).type('text/html; charset=utf-8').send(documentOf(page))

const notice = (reply: FastifyReply, status: number, title: string, sentence: string) =>
  html(
    reply,
    {
      title,
      main: `<section><h1>${escapeHtml(title)}</h1><p>${escapeHtml(sentence)}</p><p><a href="/">Back to the start</a></p></section>`,
    },
    status,
  )

const hostOf = (request: FastifyRequest): string => (request.headers.host ?? '').replace(/:\d+$/, '').toLowerCase()

/** The page: the same powers as a chat, for one machine without accounts, without a line of script. */
export async function pageApp(needs: PageNeeds): Promise<FastifyInstance> {
  const app = fastify({ logger: false, bodyLimit: LARGEST_FORM_BYTES, trustProxy: false })
  await app.register(formbody, { bodyLimit: LARGEST_FORM_BYTES })
  guardRequests(app, needs)
  startRoutes(app, needs)
  answerRoutes(app, needs)
  consultRoutes(app, needs)
  app.setNotFoundHandler((_request, reply) => notice(reply, 404, 'Nothing here', 'This address leads nowhere.'))
  app.setErrorHandler((error: { statusCode?: number }, _request, reply) => {
    const status = error.statusCode ?? 500
    if (status === 413)
      return notice(
        reply,
        413,
        'Too long',
        'That is more than a case message. Send the items of the biometry sheet and one question. Nothing was kept.',
      )
    if (status < 500) return notice(reply, status, 'Not understood', 'The form could not be read. Go back and send it again.')
    return notice(
      reply,
      500,
      'Something went wrong here',
      'It was not your message. Go back and send it again: a second copy does no harm.',
    )
  })
  await app.ready()
  return app
}

function guardRequests(app: FastifyInstance, needs: PageNeeds): void {
  app.addHook('onRequest', async (request, reply) => {
    void reply.headers({
      'content-security-policy': CONTENT_SECURITY_POLICY,
      'cache-control': 'no-store',
      'referrer-policy': 'no-referrer',
      'x-content-type-options': 'nosniff',
    })
    // A page on another site must not reach this machine under a name of its own.
    if (!needs.hosts.has(hostOf(request)))
      return notice(reply, 421, 'Unknown host name', 'Ask for the page under the name it was set up with (SOUNDINGS_PAGE_HOSTS).')
    return undefined
  })
}

function visitorOf(request: FastifyRequest, reply: FastifyReply): Visitor {
  const known = visitorFrom(request.headers.cookie)
  if (known) return known
  const visitor = newVisitor()
  void reply.header('set-cookie', visitorCookie(visitor))
  return visitor
}

/** The visitor of a form that carries their own token, or undefined. */
function senderOf(request: FastifyRequest): Visitor | undefined {
  const visitor = visitorFrom(request.headers.cookie)
  const { token } = (request.body ?? {}) as { token?: unknown }
  return visitor && tokenMatches(visitor, token) ? visitor : undefined
}

const forged = (reply: FastifyReply) =>
  notice(
    reply,
    403,
    'Form not accepted',
    'This form did not come from your own page, or cookies are off. Open the start page and try again.',
  )

function startRoutes(app: FastifyInstance, needs: PageNeeds): void {
  app.get('/favicon.ico', async (_request, reply) => reply.code(204).send())

  app.get<{ Querystring: { draft?: string } }>('/', async (request, reply) => {
    const visitor = visitorOf(request, reply)
    const draft = request.query.draft ? await needs.draft(request.query.draft) : undefined
    const text = draft && 'text' in draft && draft.by === visitor.id ? draft.text : ''
    const main = [
      askPart(visitor, fresh(), text),
      whoPart(visitor, fresh()),
      consultList('Newest consults', await needs.newest(20), 'No consult yet.'),
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

  app.get<{ Querystring: { q?: string } }>('/find', async (request, reply) => {
    const words = request.query.q ?? ''
    const found = await needs.find(words)
    return html(reply, {
      title: 'Found',
      query: words,
      main: consultList(`Found for “${words}”`, found, 'Nothing found. Fewer words find more.'),
    })
  })
}

function answerRoutes(app: FastifyInstance, needs: PageNeeds): void {
  const deliver = async (reply: FastifyReply, visitor: Visitor, once: string, inbound: (reply: Inbound['reply']) => Inbound) => {
    const requestId = `${visitor.id}:${once}`
    await needs.accept(inbound({ requestId }), `web:${requestId}`)
    return reply.redirect(`/answer/${encodeURIComponent(once)}`, 303)
  }

  app.post('/ask', async (request, reply) => {
    const visitor = senderOf(request)
    if (!visitor) return forged(reply)
    const { text, once } = textForm.parse(request.body)
    return deliver(reply, visitor, once, (handle) => ({
      kind: 'text',
      text,
      by: personOf(visitor),
      place: WEB_PLACE,
      addressed: true,
      hasPicture: false,
      reply: handle,
    }))
  })

  app.post('/choose', async (request, reply) => {
    const visitor = senderOf(request)
    if (!visitor) return forged(reply)
    const { does, sentence, once } = choiceForm.parse(request.body)
    const action = readChoiceAction(does)
    if (!action) return notice(reply, 400, 'Unknown choice', 'This button is not known here any more. Open the consult again.')
    const said = sentence?.trim() ? { sentence: sentence.trim() } : {}
    if (action.action === 'correct-draft') {
      await needs.accept(
        { kind: 'choice', does: action, by: personOf(visitor), place: WEB_PLACE, reply: { requestId: `${visitor.id}:${once}` } },
        `web:${visitor.id}:${once}`,
      )
      return reply.redirect(`/?draft=${encodeURIComponent(action.draftId)}`, 303)
    }
    return deliver(reply, visitor, once, (handle) => ({
      kind: 'choice',
      does: action,
      ...said,
      by: personOf(visitor),
      place: WEB_PLACE,
      reply: handle,
    }))
  })

  app.post<{ Params: { ref: string } }>('/consult/:ref/say', async (request, reply) => {
    const visitor = senderOf(request)
    if (!visitor) return forged(reply)
    const { text, once } = textForm.parse(request.body)
    return deliver(reply, visitor, once, (handle) => ({
      kind: 'text',
      text: `${request.params.ref} ${text}`,
      by: personOf(visitor),
      place: WEB_PLACE,
      addressed: true,
      hasPicture: false,
      reply: handle,
    }))
  })

  app.get<{ Params: { once: string } }>('/answer/:once', async (request, reply) => {
    const visitor = visitorOf(request, reply)
    const card = await needs.answers.get(`${visitor.id}:${request.params.once}`, PATIENCE_MS)
    if (!card)
      return notice(
        reply,
        200,
        'Taken',
        'It was taken and is kept. Its answer is not here (yet): reload this page, or look at the start page.',
      )
    const shown = cardHtml(card, { formAction: '/choose', formExtras: hiddenFields(visitor, fresh()) })
    const main = `${shown}${await linksTo(needs, shown)}<p><a href="/">Back to the start</a></p>`
    return html(reply, { title: card.title, main })
  })
}

/** Links to the consults that a card names, so that a reference can be followed. */
async function linksTo(needs: PageNeeds, shown: string): Promise<string> {
  const named = [...new Set(shown.match(/\b[A-Z]{3,12}-\d{1,6}\b/g) ?? [])].slice(0, 20)
  const known = await Promise.all(named.map(async (ref) => ((await needs.consult(ref)) ? ref : undefined)))
  return known.map((ref) => (ref ? `<p><a href="/consult/${ref}">Open ${ref}</a></p>` : '')).join('')
}

function consultRoutes(app: FastifyInstance, needs: PageNeeds): void {
  app.get<{ Params: { ref: string } }>('/consult/:ref', async (request, reply) => {
    const visitor = visitorOf(request, reply)
    const consult = await needs.consult(request.params.ref)
    if (!consult) return notice(reply, 404, 'No such consult', 'There is no consult under this reference.')
    const said = consult.said.map(
      ({ by, at, text }) =>
        `<li><b>${escapeHtml(by)}</b> <time datetime="${escapeHtml(at)}">${at.slice(0, 10)}</time>: ${escapeHtml(text)}</li>`,
    )
    const main = [
      cardHtml(consult.card, { formAction: '/choose', formExtras: hiddenFields(visitor, fresh()) }),
      said.length
        ? `<section aria-labelledby="thread-title"><h2 id="thread-title">Thread</h2><ul class="thread">${said.join('')}</ul></section>`
        : '',
      sayPart(visitor, fresh(), request.params.ref),
      whoPart(visitor, fresh()),
    ]
    return html(reply, { title: consult.card.title, main: main.join('\n') })
  })
}
