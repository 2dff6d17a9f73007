import type { Standing, Store } from '../../src/desk/store.js'
import type { Route } from './server.js'

const GAUGES: readonly (readonly [keyof Standing, string, string])[] = [
  ['inboxWaiting', 'soundings_inbox_waiting', 'Deliveries accepted and not yet handled'],
  ['inboxFailed', 'soundings_inbox_failed', 'Deliveries parked after repeated failures'],
  ['outboxQueued', 'soundings_outbox_queued', 'Messages waiting to be sent'],
  ['outboxUnknown', 'soundings_outbox_unknown', 'Messages that were possibly posted'],
  ['outboxRefused', 'soundings_outbox_refused', 'Messages that a platform refused'],
]

/** `/healthz` (the process answers), `/readyz` (the store answers, and how the queues stand), `/metrics`. */
export function probes(store: Pick<Store, 'standing'>): readonly Route[] {
  let counting: ReturnType<typeof startCounting> | undefined
  return [
    {
      path: '/healthz',
      handler: (_request, response) => {
        response.writeHead(200, { 'content-type': 'text/plain' }).end('ok\n')
      },
    },
    {
      path: '/readyz',
      handler: async (_request, response) => {
        const standing = await store.standing().catch(() => undefined)
        const status = standing ? 200 : 503
        response
          .writeHead(status, { 'content-type': 'application/json' })
          .end(`${JSON.stringify({ ready: status === 200, ...standing })}\n`)
      },
    },
    {
      path: '/metrics',
      handler: async (_request, response) => {
        counting ??= startCounting()
        const { registry, gauges } = await counting
        const standing = await store.standing()
        for (const { field, gauge } of gauges) gauge.set(standing[field])
        response.writeHead(200, { 'content-type': registry.contentType }).end(await registry.metrics())
      },
    },
  ]
}

/** Loaded when somebody first asks for numbers: a start need not wait for it. */
async function startCounting() {
  const { collectDefaultMetrics, Gauge, Registry } = await import('prom-client')
  const registry = new Registry()
  collectDefaultMetrics({ register: registry })
  const gauges = GAUGES.map(([field, name, help]) => ({ field, gauge: new Gauge({ name, help, registers: [registry] }) }))
  return { registry, gauges }
}
