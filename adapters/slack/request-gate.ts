import type { IncomingMessage, ServerResponse } from 'node:http'

const WINDOW_SECONDS = 300

/**
 * What stands in front of Bolt's own signature check. Bolt refuses requests older than five minutes but takes ones from
 * the future, and it does not read a form whose content type carries a charset. Answers the request and returns false
 * where it must not pass.
 */
export function passesGate(request: IncomingMessage, response: ServerResponse, nowMs: number): boolean {
  if (request.method !== 'POST') return refused(request, response, 405, { allow: 'POST' })
  const stated = request.headers['x-slack-request-timestamp']
  const seconds = typeof stated === 'string' && /^\d{1,12}$/.test(stated) ? Number(stated) : Number.NaN
  if (!(Math.abs(nowMs / 1000 - seconds) <= WINDOW_SECONDS)) return refused(request, response, 401)
  const type = request.headers['content-type']
  if (type !== undefined) request.headers['content-type'] = (type.split(';', 1)[0] ?? '').trim().toLowerCase()
  return true
}

function refused(
  request: IncomingMessage,
  response: ServerResponse,
  status: number,
  headers: Record<string, string> = {},
): false {
  request.resume()
  response.writeHead(status, headers).end()
  return false
}
