import type { IncomingMessage } from 'node:http'

/** Why a request is not served, in words for whoever made it. */
export interface Refused {
  readonly status: 403 | 421
  readonly title: string
  readonly sentence: string
}

/** Names of this machine to itself: who asks under one of them sits at it, or comes through something that does. */
const LOOPBACK_HOSTS: readonly string[] = ['localhost', '127.0.0.1', '[::1]']

const hostOf = (request: IncomingMessage): string => (request.headers.host ?? '').replace(/:\d+$/, '').toLowerCase()

/** What proxies add to what they hand on: RFC 7239 and the usual headers before it, RFC 9110 7.6.3. */
const ADDED_BY_PROXIES = ['forwarded', 'via', 'x-forwarded-for', 'x-forwarded-host', 'x-forwarded-proto', 'x-real-ip']

/** No browser has spoken HTTP/1.0 for long; some proxies still do to what stands behind them. */
const isHandedOn = ({ headers, httpVersionMajor, httpVersionMinor }: IncomingMessage): boolean =>
  ADDED_BY_PROXIES.some((name) => headers[name] !== undefined) || (httpVersionMajor === 1 && httpVersionMinor === 0)

/**
 * What stands in front of the page, which has no accounts: whoever reaches it may read it. Three doors are shut: a page on
 * another site that gives this machine a name of its own; a proxy that was to hand on the chats' addresses alone and hands
 * on everything, under this machine's own name; and what a page of another site loads in passing.
 * @param hosts names that the department has set for the page, without port; those of this machine need not be among them
 * @returns why it is not served; undefined where it is
 */
export function refusedAtDoor(request: IncomingMessage, hosts: ReadonlySet<string>): Refused | undefined {
  const host = hostOf(request)
  if (!hosts.has(host) && !LOOPBACK_HOSTS.includes(host))
    return {
      status: 421,
      title: 'Unknown host name',
      sentence: 'Ask for the page under the name it was set up with (SOUNDINGS_PAGE_HOSTS).',
    }
  if (!hosts.has(host) && isHandedOn(request))
    return {
      status: 421,
      title: 'Not through a proxy',
      sentence:
        'A proxy hands this on without the name that was asked for. The page has no accounts: let the proxy keep others out, pass the host name on, and name it in SOUNDINGS_PAGE_HOSTS.',
    }
  // Fetch Metadata (www.w3.org/TR/fetch-metadata): a link from elsewhere may be followed, nothing may be loaded from there.
  if (request.headers['sec-fetch-site'] === 'cross-site' && request.headers['sec-fetch-mode'] !== 'navigate')
    return { status: 403, title: 'Not from another site', sentence: 'Open the page itself.' }
  return undefined
}
