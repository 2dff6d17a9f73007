export type Platform = 'slack' | 'teams' | 'web'

/** A colleague. `id` is unique over platforms: `slack:T…:U…`, `teams:tenant:aad-id`, `web:…`. */
export interface Person {
  readonly id: string
  readonly name: string
  /** As the colleague described themselves; absent means not stated. */
  readonly grade?: string
  readonly field?: string
}

/** Where a consult is shown and answered. */
export interface Place {
  readonly platform: Platform
  /** Slack team, Teams tenant, or `local` for the page. */
  readonly workspace: string
  /** Channel or conversation id. */
  readonly channel: string
  /** Message that the thread hangs from, where there is one. */
  readonly thread?: string
}
