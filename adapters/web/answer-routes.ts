import type { FastifyInstance } from 'fastify'
import { z } from 'zod'
import { readChoiceAction } from '../../src/cards/choice-action.js'
import { cardHtml } from '../../src/views/page.js'
import { formAddress } from './form-routes.js'
import { linksTo } from './links.js'
import { type PageNeeds, WEB_PLACE } from './page-needs.js'
import { hiddenFields } from './parts.js'
import { deliver, forged, fresh, html, notice, senderOf, visitorOf } from './replying.js'
import { personOf } from './visitor.js'

const PATIENCE_MS = 8000

const textForm = z.object({ text: z.string(), once: z.string().max(64) })
const commentForm = z.object({
  act: z.enum(['change', 'take-back']),
  message: z.string().max(120),
  text: z.string(),
  once: z.string().max(64),
})
const choiceForm = z.object({ does: z.string().max(2000), sentence: z.string().max(4000).optional(), once: z.string().max(64) })

export function answerRoutes(app: FastifyInstance, needs: PageNeeds): void {
  app.post('/ask', async (request, reply) => {
    const visitor = senderOf(request)
    if (!visitor) return forged(reply)
    const { text, once } = textForm.parse(request.body)
    return deliver(needs, reply, { visitor, once }, (handle) => ({
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
    if (action.action === 'open-form') return reply.redirect(formAddress(action), 303)
    const said = sentence?.trim() ? { sentence: sentence.trim() } : {}
    if (action.action === 'correct-draft') {
      await needs.accept(
        { kind: 'choice', does: action, by: personOf(visitor), place: WEB_PLACE, reply: { requestId: `${visitor.id}:${once}` } },
        `web:${visitor.id}:${once}`,
      )
      return reply.redirect(`/?draft=${encodeURIComponent(action.draftId)}`, 303)
    }
    return deliver(needs, reply, { visitor, once }, (handle) => ({
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
    const ref = request.params.ref.toUpperCase()
    // another word in front of what was said would make a command of it, or a case
    if (!(await needs.isHere(ref))) return notice(reply, 404, 'No such consult', 'There is no consult under this reference.')
    return deliver(needs, reply, { visitor, once }, (handle) => ({
      kind: 'text',
      text: `${ref} ${text}`,
      by: personOf(visitor),
      place: WEB_PLACE,
      addressed: true,
      hasPicture: false,
      // names it again when its author changes it or takes it back
      message: `${visitor.id}:${once}`,
      reply: handle,
    }))
  })

  app.post<{ Params: { ref: string } }>('/consult/:ref/comment', async (request, reply) => {
    const visitor = senderOf(request)
    if (!visitor) return forged(reply)
    const { act, message, text, once } = commentForm.parse(request.body)
    return deliver(needs, reply, { visitor, once }, (handle) => ({
      ref: request.params.ref.toUpperCase(),
      message,
      by: personOf(visitor),
      place: WEB_PLACE,
      reply: handle,
      ...(act === 'change' ? { kind: 'edited', text } : { kind: 'deleted' }),
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
    const shown = cardHtml(card, { isPage: true, formAction: '/choose', formExtras: hiddenFields(visitor, fresh()) })
    const main = `${shown}${await linksTo(needs, shown)}<p><a href="/">Back to the start</a></p>`
    return html(reply, { title: card.title, main })
  })
}
