import { slackBlocksSchema } from '../views/slack-block-schemas.js'

/** What Slack would say of these blocks: nothing, or its error with the places it names. */
export function faultIn(blocks: unknown): { readonly error: string; readonly messages: readonly string[] } | undefined {
  const parsed = slackBlocksSchema.safeParse(blocks)
  if (parsed.success) return undefined
  const { issues } = parsed.error
  if (issues.every((issue) => issue.message === 'msg_blocks_too_long')) return { error: 'msg_blocks_too_long', messages: [] }
  return {
    error: 'invalid_blocks',
    messages: issues.map((issue) => `[ERROR] ${issue.message} [json-pointer:/blocks/${issue.path.join('/')}]`),
  }
}
