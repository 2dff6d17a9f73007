import { connect, type Socket } from 'node:net'
import { afterEach, expect, it } from 'vitest'
import { type Handler, type RunningServer, startServer } from '../../../adapters/http/server.js'

let server: RunningServer | undefined
const sockets: Socket[] = []
afterEach(async () => {
  for (const socket of sockets.splice(0)) socket.destroy()
  await server?.stop()
  server = undefined
})

async function start(page: Handler, more: { readonly faults?: unknown[]; readonly endWithinMs?: number } = {}) {
  server = await startServer({
    host: '127.0.0.1',
    port: 0,
    routes: [{ path: '/known', handler: (_request, response) => void response.end('known') }],
    page,
    onFault: (fault) => more.faults?.push(fault),
    ...(more.endWithinMs === undefined ? {} : { endWithinMs: more.endWithinMs }),
  })
  return server
}

/** A connection on which so much is sent and no more. */
async function connected(port: number, sent: string): Promise<Socket> {
  const socket = connect(port, '127.0.0.1')
  socket.on('error', () => {})
  sockets.push(socket)
  await new Promise((resolve) => socket.once('connect', resolve))
  if (sent !== '') await new Promise((resolve) => socket.write(sent, resolve))
  return socket
}

it('hands each path to its handler, with or without a query, and all others to the page', async () => {
  const { url } = await start((_request, response) => void response.end('page'))
  const said = (path: string) => fetch(url + path).then((answer) => answer.text())
  expect(await Promise.all(['/known', '/known?a=1', '/known/', '/', '/else'].map(said))).toEqual([
    'known',
    'known',
    'page',
    'page',
    'page',
  ])
})

it('tells nobody who asks what went wrong', async () => {
  const faults: unknown[] = []
  const { url } = await start(
    () => {
      throw new Error('LE 58M')
    },
    { faults },
  )
  const answer = await fetch(url)
  expect(answer.status).toBe(500)
  expect(await answer.text()).not.toContain('58M')
  expect(faults).toHaveLength(1)
})

it('a stop does not wait for a connection on which nothing was ever asked, and lets one that is being answered end', async () => {
  let answer = () => {}
  const asked = new Promise<void>((begun) => {
    void start((_request, response) => {
      answer = () => void response.end('whole')
      begun()
    }).then(async ({ url, port }) => {
      await connected(port, '')
      said = fetch(url).then((one) => one.text())
    })
  })
  let said: Promise<string> | undefined
  await asked
  const stopped = server?.stop()
  setTimeout(answer, 50)
  await stopped
  expect(await said).toBe('whole')
})

it('a stop cuts off who does not come to an end', async () => {
  const { port, stop } = await start(() => {}, { endWithinMs: 50 })
  await connected(port, 'POST / HTTP/1.1\r\nhost: here\r\ncontent-length: 10\r\n\r\nhalf')
  await stop()
})
