import { WebAPIHTTPError, WebAPIPlatformError, WebAPIRateLimitedError, WebAPIRequestError } from '@slack/web-api'
import { describe, expect, it } from 'vitest'
import { outcomeOfFailure } from '../../../adapters/slack/send-outcome.js'

const refusedBy = (error: string) => outcomeOfFailure(new WebAPIPlatformError({ ok: false, error }))
const network = (code: string) =>
  outcomeOfFailure(new WebAPIRequestError(new TypeError('fetch failed', { cause: Object.assign(new Error(code), { code }) })))

describe('a call that failed', () => {
  it('with 429 was not sent, and may be after the time Slack names', () => {
    expect(outcomeOfFailure(new WebAPIRateLimitedError(7))).toMatchObject({ outcome: 'not-sent', retryAfterMs: 7_000 })
  })

  it.each(['ECONNREFUSED', 'ENOTFOUND', 'EAI_AGAIN', 'UND_ERR_CONNECT_TIMEOUT'])('with %s never left', (code) => {
    expect(network(code).outcome).toBe('not-sent')
  })

  it.each(['ECONNRESET', 'EPIPE', 'UND_ERR_SOCKET', 'UND_ERR_HEADERS_TIMEOUT', 'SOMETHING_NEW'])(
    'with %s may have arrived',
    (code) => {
      expect(network(code).outcome).toBe('unknown')
    },
  )

  it('by our own time limit may have arrived', () => {
    const timeout = new WebAPIRequestError(new DOMException('The operation was aborted due to timeout', 'TimeoutError'))
    expect(outcomeOfFailure(timeout)).toMatchObject({ outcome: 'unknown', because: expect.stringContaining('timeout') })
  })

  it.each([500, 502, 503, 504, 408])('with status %d may have arrived', (status) => {
    expect(outcomeOfFailure(new WebAPIHTTPError(status, '', {})).outcome).toBe('unknown')
  })

  it.each([400, 403, 404, 413])('with status %d was refused', (status) => {
    expect(outcomeOfFailure(new WebAPIHTTPError(status, '', {})).outcome).toBe('refused')
  })

  // docs.slack.dev/reference/methods/chat.postMessage: "Some aspect of the operation may have succeeded"
  it.each(['fatal_error', 'internal_error'])('with %s may have been done in part', (error) => {
    expect(refusedBy(error).outcome).toBe('unknown')
  })

  it('with an answer that is no JSON tells nothing', () => {
    expect(refusedBy('<html>Bad gateway</html>').outcome).toBe('unknown')
    expect(refusedBy('').outcome).toBe('unknown')
  })

  it('because the bot is not in the channel says to invite it', () => {
    expect(refusedBy('not_in_channel')).toEqual({
      outcome: 'refused',
      because: 'the bot is not in this channel: invite the bot there',
    })
  })

  it('for a reason we have no words for gives Slack’s own', () => {
    expect(refusedBy('something_new')).toEqual({ outcome: 'refused', because: 'Slack refused the message (something_new)' })
  })

  it.each(['invalid_auth', 'token_revoked', 'missing_scope'])(
    'with %s waits: the installation is at fault, not the message',
    (error) => {
      expect(refusedBy(error)).toMatchObject({ outcome: 'not-sent', because: expect.stringContaining(error) })
    },
  )
})
