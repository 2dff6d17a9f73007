/** What a channel of the loopback workspace shows. */
export interface Posted {
  readonly ts: string
  readonly channel: string
  readonly bot_id: string
  readonly thread_ts?: string
  text: string
  blocks: readonly unknown[]
  metadata?: unknown
}

/** What one person is shown. */
export interface Ephemeral {
  readonly channel: string
  readonly user?: string
  readonly by: 'chat.postEphemeral' | 'response_url'
  readonly thread_ts?: string
  readonly text: string
  readonly blocks: readonly unknown[]
  readonly replaceOriginal?: boolean
}

/** How a call goes wrong. */
export type Misbehaviour =
  | { readonly kind: 'rate-limit'; readonly retryAfter?: number }
  /** The connection is cut before anything is done. */
  | { readonly kind: 'cut' }
  /** Everything is done, and the answer is lost. */
  | { readonly kind: 'lost-answer' }
  | { readonly kind: 'status'; readonly status: number }
  | { readonly kind: 'body'; readonly body: string }
  | { readonly kind: 'error'; readonly error: string }
  | { readonly kind: 'slow'; readonly ms: number }
