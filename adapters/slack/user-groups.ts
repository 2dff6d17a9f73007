import type { WebClient } from '@slack/web-api'
import type { LookUpFailed } from '../../src/desk/failed-look-ups.js'

export interface UserGroup {
  readonly name: string
  /** Slack's ids of its people. */
  readonly users: readonly string[]
}

export interface UserGroups {
  /** The group of this id, or undefined where Slack does not give it in time. Never throws. */
  groupOf(id: string): Promise<UserGroup | undefined>
}

const KEEP_MS = 10 * 60_000
const KEEP_FAILURE_MS = 60_000

/**
 * Groups of the workspace by `usergroups.list`, which takes `usergroups:read` and a plan that has groups; kept in memory,
 * since Slack answers it only some twenty times a minute.
 */
export function userGroups(
  client: Pick<WebClient, 'usergroups'>,
  now: () => number,
  failed: LookUpFailed,
  patienceMs = 700,
): UserGroups {
  let kept: { readonly groups: Promise<ReadonlyMap<string, UserGroup> | undefined>; until: number } | undefined
  const asked = () => {
    if (kept !== undefined && kept.until > now()) return kept.groups
    const entry = { groups: listed(client, failed), until: now() + KEEP_MS }
    kept = entry
    void entry.groups.then((groups) => {
      if (groups === undefined) entry.until = now() + KEEP_FAILURE_MS
    })
    return entry.groups
  }
  return {
    groupOf: async (id) => {
      const groups = await Promise.race([asked(), afterMs(patienceMs)])
      return groups?.get(id)
    },
  }
}

async function listed(
  client: Pick<WebClient, 'usergroups'>,
  failed: LookUpFailed,
): Promise<ReadonlyMap<string, UserGroup> | undefined> {
  try {
    const { usergroups = [] } = await client.usergroups.list({ include_users: true })
    return new Map(
      usergroups.flatMap(({ id, name, handle, users }) =>
        id === undefined ? [] : [[id, { name: (name || handle || id).slice(0, 80), users: users ?? [] }] as const],
      ),
    )
  } catch (fault) {
    failed('usergroups.list', fault)
    return undefined
  }
}

function afterMs(ms: number): Promise<undefined> {
  return new Promise((resolve) => {
    setTimeout(() => resolve(undefined), ms).unref()
  })
}
