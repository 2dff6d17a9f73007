import { describe, expect, it } from 'vitest'
import { oncePerCause } from '../../src/desk/failed-look-ups.js'

const HOUR_MS = 3_600_000

describe('what a chat does not tell', () => {
  it('is said once a cause and call, and again after an hour', () => {
    const said: string[] = []
    let now = 0
    const failed = oncePerCause(
      (asked, cause) => said.push(`${asked}: ${cause}`),
      () => now,
    )
    const late = Object.assign(new Error('no answer about U0001'), { code: 'ETIMEDOUT' })
    for (let message = 0; message < 50; message += 1) failed('users.info', late)
    failed('users.list', late)
    failed('users.info', Object.assign(new Error('about U0001'), { statusCode: 403 }))
    failed('users.info', new TypeError('U0001'))
    failed('users.info', 'U0001')
    expect(said).toEqual([
      'users.info: ETIMEDOUT',
      'users.list: ETIMEDOUT',
      'users.info: HTTP 403',
      'users.info: TypeError',
      'users.info: no reason was given',
    ])
    now = HOUR_MS
    failed('users.info', late)
    expect(said.at(-1)).toBe('users.info: ETIMEDOUT')
    expect(said).toHaveLength(6)
  })
})
