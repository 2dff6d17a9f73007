import { WebAPIPlatformError } from '@slack/web-api'

/** Slack's own word for why it did not answer, with the permission that would have been needed. */
export function causeAtSlack(fault: unknown): string | undefined {
  if (!(fault instanceof WebAPIPlatformError)) return undefined
  const { error } = fault.data
  const needed: unknown = Reflect.get(fault.data, 'needed')
  return typeof needed === 'string' ? `${error}: ${needed}` : error
}
