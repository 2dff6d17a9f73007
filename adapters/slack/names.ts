import type { WebClient } from '@slack/web-api'
import type { LookUpFailed } from '../../src/desk/failed-look-ups.js'
import { keptAnswers } from '../../src/desk/kept-answers.js'

export interface NameBook {
  /** The display name, or undefined if Slack does not give it in time. Never throws. */
  nameOf(userId: string): Promise<string | undefined>
  /** The one person of the workspace who goes by this name. */
  idOf(name: string): Promise<string | undefined>
}

const KEEP_MS = 24 * 3_600_000
const KEEP_FAILURE_MS = 300_000
const MOST_NAMES = 5_000

/**
 * Display names by `users.info`, kept in memory: the name and nothing else of the profile. The delivery waits for it
 * before it is stored, so a slow answer is given up after `patienceMs`; the answer still counts for the next time.
 */
export function nameBook(client: WebClient, now: () => number, failed: LookUpFailed, patienceMs = 700): NameBook {
  const listed = keptAnswers<ReadonlyMap<string, string> | undefined>(now, (list) => list !== undefined)
  const known = new Map<string, { readonly name: Promise<string | undefined>; until: number }>()

  function ask(userId: string): Promise<string | undefined> {
    const entry = { name: asked(client, userId, failed), until: now() + KEEP_MS }
    if (known.size >= MOST_NAMES) known.clear()
    known.set(userId, entry)
    void entry.name.then((name) => {
      if (name === undefined) entry.until = now() + KEEP_FAILURE_MS
    })
    return entry.name
  }

  return {
    nameOf(userId) {
      const entry = known.get(userId)
      const name = entry !== undefined && entry.until > now() ? entry.name : ask(userId)
      return Promise.race([name, afterMs(patienceMs)])
    },

    async idOf(name) {
      const wanted = name.replace(/^@/, '').trim().toLowerCase()
      const named = await Promise.all([...known].map(async ([id, entry]) => ({ id, name: (await entry.name)?.toLowerCase() })))
      const [only, ...others] = named.filter((one) => one.name === wanted)
      if (only !== undefined) return others.length === 0 ? only.id : undefined
      return (await listed('', () => everybody(client, failed)))?.get(wanted)
    },
  }
}

async function asked(client: WebClient, userId: string, failed: LookUpFailed): Promise<string | undefined> {
  try {
    const { user } = await client.users.info({ user: userId })
    const name = user?.profile?.display_name || user?.real_name || user?.name
    return name ? name.slice(0, 80) : undefined
  } catch (fault) {
    failed('users.info', fault)
    return undefined
  }
}

const PAGE = 200
const MOST_PAGES = 25

/** Everybody's id by their name, but for names that several share. A workspace larger than 5,000 people is not gone through. */
async function everybody(client: WebClient, failed: LookUpFailed): Promise<ReadonlyMap<string, string> | undefined> {
  const ids = new Map<string, string | undefined>()
  let cursor: string | undefined
  try {
    for (let page = 0; page < MOST_PAGES; page += 1) {
      const answer = await client.users.list({ limit: PAGE, ...(cursor === undefined ? {} : { cursor }) })
      for (const { id, deleted, is_bot, profile, real_name } of answer.members ?? []) {
        if (id === undefined || deleted === true || is_bot === true) continue
        for (const name of new Set([profile?.display_name, profile?.real_name ?? real_name])) {
          if (!name) continue
          const key = name.toLowerCase()
          ids.set(key, ids.has(key) && ids.get(key) !== id ? undefined : id)
        }
      }
      cursor = answer.response_metadata?.next_cursor || undefined
      if (cursor === undefined) return new Map([...ids].flatMap(([name, id]) => (id === undefined ? [] : [[name, id] as const])))
    }
  } catch (fault) {
    failed('users.list', fault)
    return undefined
  }
  return undefined
}

function afterMs(ms: number): Promise<undefined> {
  return new Promise((resolve) => {
    setTimeout(() => resolve(undefined), ms).unref()
  })
}
