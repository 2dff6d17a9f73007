import { createHash } from 'node:crypto'
import { once } from 'node:events'
import { createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import type { Duplex } from 'node:stream'

/** Slack's end of Socket Mode on loopback: a WebSocket server (RFC 6455) that greets, delivers envelopes and hears acknowledgements. */
export interface SlackSocket {
  readonly url: string
  /** Envelope ids acknowledged, in order. */
  readonly acknowledged: string[]
  /** What was said along with an acknowledgement, by envelope. */
  readonly answers: Map<string, unknown>
  deliver(envelopeId: string, type: 'events_api' | 'slash_commands' | 'interactive', payload: object, retryAttempt?: number): void
  connections(): number
  /** Cuts every connection, as a restart of Slack's end does. */
  cut(): void
  stop(): Promise<void>
}

const TEXT = 1
const CLOSE = 8
const PING = 9
const PONG = 10

export async function startSlackSocket(onAcknowledged: (envelopeId: string) => void = () => {}): Promise<SlackSocket> {
  const sockets = new Set<Duplex>()
  const acknowledged: string[] = []
  const answers = new Map<string, unknown>()
  const server = createServer()
  server.on('upgrade', (request, socket: Duplex) => {
    const accept = createHash('sha1')
      .update(`${request.headers['sec-websocket-key']}258EAFA5-E914-47DA-95CA-C5AB0DC85B11`)
      .digest('base64')
    socket.write(
      `HTTP/1.1 101 Switching Protocols\r\nUpgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Accept: ${accept}\r\n\r\n`,
    )
    sockets.add(socket)
    socket.on('close', () => sockets.delete(socket))
    socket.on('error', () => sockets.delete(socket))
    let held = Buffer.alloc(0)
    socket.on('data', (chunk: Buffer) => {
      held = Buffer.concat([held, chunk])
      for (let read = readFrame(held); read !== undefined; read = readFrame(held)) {
        held = held.subarray(read.length)
        if (read.opcode === PING) socket.write(frame(PONG, read.payload))
        if (read.opcode === CLOSE) socket.end(frame(CLOSE, read.payload))
        if (read.opcode === TEXT) {
          const { envelope_id: id, payload } = JSON.parse(read.payload.toString('utf8')) as {
            envelope_id: string
            payload?: unknown
          }
          acknowledged.push(id)
          if (payload !== undefined) answers.set(id, payload)
          onAcknowledged(id)
        }
      }
    })
    socket.write(frame(TEXT, Buffer.from(JSON.stringify({ type: 'hello', num_connections: 1 }))))
  })
  server.listen(0, '127.0.0.1')
  await once(server, 'listening')

  return {
    url: `ws://127.0.0.1:${(server.address() as AddressInfo).port}/link`,
    acknowledged,
    answers,
    deliver(envelopeId, type, payload, retryAttempt = 0) {
      const envelope = {
        envelope_id: envelopeId,
        type,
        accepts_response_payload: type !== 'events_api',
        payload,
        ...(type === 'events_api' ? { retry_attempt: retryAttempt, retry_reason: retryAttempt === 0 ? '' : 'timeout' } : {}),
      }
      for (const socket of sockets) socket.write(frame(TEXT, Buffer.from(JSON.stringify(envelope))))
    },
    connections: () => sockets.size,
    cut() {
      for (const socket of sockets) socket.destroy()
    },
    async stop() {
      for (const socket of sockets) socket.destroy()
      server.close()
      await once(server, 'close')
    },
  }
}

function frame(opcode: number, payload: Buffer): Buffer {
  const head =
    payload.length < 126
      ? Buffer.from([0x80 | opcode, payload.length])
      : Buffer.from([0x80 | opcode, 126, payload.length >> 8, payload.length & 0xff])
  return Buffer.concat([head, payload])
}

/** One frame from a client, which masks its payload; undefined until it is whole. Clients here stay under 64 KB. */
function readFrame(held: Buffer): { readonly opcode: number; readonly payload: Buffer; readonly length: number } | undefined {
  if (held.length < 6) return undefined
  const short = held.readUInt8(1) & 0x7f
  const at = short === 126 ? 4 : 2
  const size = short === 126 ? held.readUInt16BE(2) : short
  if (held.length < at + 4 + size) return undefined
  const mask = held.subarray(at, at + 4)
  const payload = Buffer.from(held.subarray(at + 4, at + 4 + size))
  for (const [index, byte] of payload.entries()) payload[index] = byte ^ (mask[index % 4] ?? 0)
  return { opcode: held.readUInt8(0) & 0x0f, payload, length: at + 4 + size }
}
