import { expect, it } from 'vitest'
import { pageApp } from '../../../adapters/web/page-app.js'
import type { PageNeeds } from '../../../adapters/web/page-needs.js'

it('what goes wrong behind the page is told to its keeper, and to its visitor only that it did', async () => {
  const faults: unknown[] = []
  const broken = new Error('LE 58M')
  // only what the start page asks for first
  const needs = { hosts: new Set(['localhost']), home: () => Promise.reject(broken) } as unknown as PageNeeds
  const app = await pageApp(needs, (fault) => faults.push(fault))
  const answer = await app.inject({ url: '/', headers: { host: 'localhost' } })
  expect(answer.statusCode).toBe(500)
  expect(answer.body).not.toContain('58M')
  expect(faults).toEqual([broken])
  expect((await app.inject({ url: '/nowhere', headers: { host: 'localhost' } })).statusCode).toBe(404)
  expect(faults).toHaveLength(1)
  await app.close()
})
