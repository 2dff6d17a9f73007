import formbody from '@fastify/formbody'
import fastify, { type FastifyInstance, type FastifyReply } from 'fastify'
import { ZodError } from 'zod'
import { ORDINARY_BASE_RATE } from '../../src/learning/rupture-chart.js'
import { answerRoutes } from './answer-routes.js'
import { consultRoutes } from './consult-routes.js'
import { CONTENT_SECURITY_POLICY } from './document.js'
import { formRoutes } from './form-routes.js'
import { learningRoutes } from './learning-route.js'
import { refusedAtDoor } from './page-gate.js'
import type { PageNeeds } from './page-needs.js'
import { notice } from './replying.js'
import { startRoutes } from './start-routes.js'

/** A message of this many characters is refused by intake with guidance; beyond this the page does not even read it. */
const LARGEST_FORM_BYTES = 4 * 1024 * 1024

/** Forms are checked by zod. Without this the framework loads a schema compiler at each start that no route uses. */
const noSchema = () => {
  throw new Error('PAGE.SCHEMA: no route of the page has a schema of the framework')
}
const NO_SCHEMAS = { compilersFactory: { buildValidator: () => noSchema, buildSerializer: () => noSchema } }

/**
 * The page: the same powers as a chat, for one machine without accounts, without a line of script.
 * @param onFault what went wrong here, which the visitor is told nothing of
 */
export async function pageApp(needs: PageNeeds, onFault: (fault: unknown) => void): Promise<FastifyInstance> {
  const app = fastify({
    logger: false,
    bodyLimit: LARGEST_FORM_BYTES,
    trustProxy: false,
    schemaController: NO_SCHEMAS,
    frameworkErrors: (_error, _request, reply) => notice(withHeaders(reply), 400, 'Nothing here', 'This address cannot be read.'),
  })
  await app.register(formbody, { bodyLimit: LARGEST_FORM_BYTES })
  guardRequests(app, needs)
  startRoutes(app, needs)
  answerRoutes(app, needs)
  formRoutes(app, needs)
  consultRoutes(app, needs)
  learningRoutes(app, needs, ORDINARY_BASE_RATE)
  app.setNotFoundHandler((_request, reply) => notice(reply, 404, 'Nothing here', 'This address leads nowhere.'))
  app.setErrorHandler((error: { statusCode?: number }, _request, reply) => {
    const status = error instanceof ZodError ? 400 : (error.statusCode ?? 500)
    if (status === 413)
      return notice(
        reply,
        413,
        'Too long',
        'That is more than a case message. Send the items of the biometry sheet and one question. Nothing was kept.',
      )
    if (status >= 500) onFault(error)
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

/** Nothing of a page is kept by a browser, framed, or loaded by a page of another site. */
const withHeaders = (reply: FastifyReply): FastifyReply =>
  reply.headers({
    'content-security-policy': CONTENT_SECURITY_POLICY,
    'cache-control': 'no-store',
    'cross-origin-resource-policy': 'same-origin',
    'referrer-policy': 'no-referrer',
    'x-content-type-options': 'nosniff',
  })

function guardRequests(app: FastifyInstance, needs: PageNeeds): void {
  app.addHook('onRequest', async (request, reply) => {
    void withHeaders(reply)
    const refused = refusedAtDoor(request.raw, needs.hosts)
    return refused && notice(reply, refused.status, refused.title, refused.sentence)
  })
}
