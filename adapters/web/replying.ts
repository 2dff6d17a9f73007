import { randomBytes } from 'node:crypto'
import type { FastifyReply, FastifyRequest } from 'fastify'
import type { Inbound } from '../../src/desk/ports.js'
import { escapeHtml } from '../../src/views/page.js'
import { documentOf } from './document.js'
import type { PageNeeds } from './page-needs.js'
import { newVisitor, tokenMatches, type Visitor, visitorCookie, visitorFrom } from './visitor.js'

/** A parameter of an address that is there once; one that is missing, or there several times, counts as empty. */
export const once = (given: unknown): string => (typeof given === 'string' ? given : '')

export const fresh = (): string => randomBytes(12).toString('hex')

export const html = (reply: FastifyReply, page: Parameters<typeof documentOf>[0], status = 200) =>
  reply.code(status).type('text/html; charset=utf-8').send(documentOf(page))

export const notice = (reply: FastifyReply, status: number, title: string, sentence: string) =>
  html(
    reply,
    {
      title,
      main: `<section><h1>${escapeHtml(title)}</h1><p>${escapeHtml(sentence)}</p><p><a href="/">Back to the start</a></p></section>`,
    },
    status,
  )

export function visitorOf(request: FastifyRequest, reply: FastifyReply): Visitor {
  const known = visitorFrom(request.headers.cookie)
  if (known) return known
  const visitor = newVisitor()
  void reply.header('set-cookie', visitorCookie(visitor))
  return visitor
}

/** The visitor of a form that carries their own token, or undefined. */
export function senderOf(request: FastifyRequest): Visitor | undefined {
  const visitor = visitorFrom(request.headers.cookie)
  const { token } = (request.body ?? {}) as { token?: unknown }
  return visitor && tokenMatches(visitor, token) ? visitor : undefined
}

export const forged = (reply: FastifyReply) =>
  notice(
    reply,
    403,
    'Form not accepted',
    'This form did not come from your own page, or cookies are off. Open the start page and try again.',
  )

/** Keeps what was sent, then leads the browser to its answer. `once` makes a second press of the same button harmless. */
export async function deliver(
  needs: Pick<PageNeeds, 'accept'>,
  reply: FastifyReply,
  { visitor, once }: { readonly visitor: Visitor; readonly once: string },
  inbound: (reply: Inbound['reply']) => Inbound,
) {
  const requestId = `${visitor.id}:${once}`
  await needs.accept(inbound({ requestId }), `web:${requestId}`)
  return reply.redirect(`/answer/${encodeURIComponent(once)}`, 303)
}
