import { once } from 'node:events'
import { createServer, type RequestListener } from 'node:http'
import type { AddressInfo } from 'node:net'

/** Serves what a chat delivers, on a free port of the loopback. */
export async function servedAt(path: string, listener: RequestListener) {
  const server = createServer(listener)
  server.listen(0, '127.0.0.1')
  await once(server, 'listening')
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}${path}`,
    stop() {
      server.closeAllConnections()
      server.close()
    },
  }
}
