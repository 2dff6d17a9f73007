import formbody from '@fastify/formbody'
import fastify, { type FastifyInstance, type FastifyRequest } from 'fastify'
import { ZodError } from 'zod'
import { ORDINARY_BASE_RATE } from '../../src/learning/rupture-chart.js'
import { answerRoutes } from './answer-routes.js'
import { consultRoutes } from './consult-routes.js'
import { CONTENT_SECURITY_POLICY } from './document.js'
import { formRoutes } from './form-routes.js'
import { learningRoutes } from './learning-route.js'
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

const hostOf = (request: FastifyRequest): string => (request.headers.host ?? '').replace(/:\d+$/, '').toLowerCase()

/** The page: the same powers as a chat, for one machine without accounts, without a line of script. */
export async function pageApp(needs: PageNeeds): Promise<FastifyInstance> {
  const app = fastify({ logger: false, bodyLimit: LARGEST_FORM_BYTES, trustProxy: false, schemaController: NO_SCHEMAS })
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
