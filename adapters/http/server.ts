import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http'
import type { AddressInfo } from 'node:net'

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
 * The one server: each chat framework has its path, everything else is the page's.
 * A handler that throws is answered with a bare 500; what went wrong goes to `onFault`, never to the caller.
 */
export async function startServer(options: {
  readonly host: string
  readonly port: number
  readonly routes: readonly Route[]
  readonly page: Handler
  readonly onFault: (fault: unknown) => void
}): Promise<RunningServer> {
  const server = createServer((request, response) => {
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
  await listening(server, options.host, options.port)
  const { port } = server.address() as AddressInfo
  const host = options.host.includes(':') ? `[${options.host}]` : options.host
  return { port, url: `http://${host}:${port}`, stop: () => stopped(server) }
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

function stopped(server: Server): Promise<void> {
  return new Promise((resolve) => {
    server.close(() => resolve())
    server.closeIdleConnections()
  })
}
