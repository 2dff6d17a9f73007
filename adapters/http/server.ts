import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http'
import type { AddressInfo, Socket } from 'node:net'

export type Handler = (request: IncomingMessage, response: ServerResponse) => void | Promise<void>

export interface Route {
  readonly path: string
  readonly handler: Handler
}

export interface RunningServer {
  readonly port: number
  readonly url: string
  stop(): Promise<void>
}

/**
 * Whoever connects has so long to send the head of a request, and the whole of one; ms. A chat and a browser need a second,
 * a connection that is fed a byte at a time would be held for ever.
 */
const HEAD_WITHIN_MS = 10_000
const REQUEST_WITHIN_MS = 30_000
/** Longer than anything that is answered here takes: the page waits 8 s for an answer. */
const END_WITHIN_MS = 10_000

/**
 * The one server: each chat framework has its path, everything else is the page's.
 * A handler that throws is answered with a bare 500; what went wrong goes to `onFault`, never to the caller.
 */
export async function startServer(options: {
  readonly host: string
  readonly port: number
  readonly routes: readonly Route[]
  readonly page: Handler
  readonly onFault: (fault: unknown) => void
  /** How long a stop waits for what is being answered, ms. */
  readonly endWithinMs?: number
}): Promise<RunningServer> {
  const limits = { headersTimeout: HEAD_WITHIN_MS, requestTimeout: REQUEST_WITHIN_MS, connectionsCheckingInterval: 5_000 }
  const quiet = new Set<Socket>()
  const server = createServer(limits, (request, response) => {
    quiet.delete(request.socket)
    const path = (request.url ?? '/').split('?', 1)[0]
    const handler = options.routes.find((route) => route.path === path)?.handler ?? options.page
    Promise.resolve()
      .then(() => handler(request, response))
      .catch((fault: unknown) => {
        options.onFault(fault)
        if (!response.headersSent) response.writeHead(500, { 'content-type': 'text/plain' })
        response.end('Something went wrong here; it has been noted.\n')
      })
  })
  server.on('connection', (socket) => {
    quiet.add(socket)
    socket.once('close', () => quiet.delete(socket))
  })
  await listening(server, options.host, options.port)
  const { port } = server.address() as AddressInfo
  const host = options.host.includes(':') ? `[${options.host}]` : options.host
  return { port, url: `http://${host}:${port}`, stop: () => stopped(server, quiet, options.endWithinMs ?? END_WITHIN_MS) }
}

function listening(server: Server, host: string, port: number): Promise<void> {
  return new Promise((resolve, reject) => {
    server.once('error', reject)
    server.listen(port, host, () => {
      server.off('error', reject)
      resolve()
    })
  })
}

/**
 * Takes no more connections and lets what is being answered end. A connection that has asked for nothing yet is closed at
 * once, which a browser opens ahead of time: the server would count it as busy and outlive the patience of its supervisor.
 */
function stopped(server: Server, quiet: ReadonlySet<Socket>, withinMs: number): Promise<void> {
  return new Promise((resolve) => {
    const late = setTimeout(() => server.closeAllConnections(), withinMs)
    // one that was being answered is kept open for a next request that is not to come
    const idle = setInterval(() => server.closeIdleConnections(), 50)
    server.close(() => {
      clearTimeout(late)
      clearInterval(idle)
      resolve()
    })
    for (const socket of quiet) socket.destroy()
  })
}
