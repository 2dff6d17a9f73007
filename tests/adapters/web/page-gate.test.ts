import type { IncomingMessage } from 'node:http'
import { expect, it } from 'vitest'
import { refusedAtDoor } from '../../../adapters/web/page-gate.js'

/** What the gate reads of a request. */
const asked = (headers: Record<string, string>) =>
  ({ headers, httpVersionMajor: 1, httpVersionMinor: 1 }) as unknown as IncomingMessage
const through = { 'x-forwarded-for': '203.0.113.7' }

it.each([
  ['this machine itself', { host: 'localhost:3000' }, [], undefined],
  ['this machine by its newer address', { host: '[::1]:3000' }, [], undefined],
  ['a name that nobody set', { host: 'soundings.example' }, [], 421],
  ['no name', {}, ['soundings.example'], 421],
  ['a name that was set', { host: 'Soundings.example:8443' }, ['soundings.example'], undefined],
  ['a name that was set, through a proxy', { host: 'soundings.example', ...through }, ['soundings.example'], undefined],
  ['this machine itself, through a proxy', { host: '127.0.0.1:3000', ...through }, ['soundings.example'], 421],
  ['this machine itself, through a proxy that was meant', { host: 'localhost', ...through }, ['localhost'], undefined],
] as const)('%s', (_, headers, hosts, status) => {
  expect(refusedAtDoor(asked(headers), new Set(hosts))?.status).toBe(status)
})
