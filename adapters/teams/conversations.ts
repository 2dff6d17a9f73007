import type { Conversation, Conversations } from '../../src/desk/store.js'

export interface ConversationBook {
  get(tenant: string, id: string): Promise<Conversation | undefined>
  /** @returns whether it was known before */
  remember(conversation: Conversation): Promise<boolean>
}

const MOST_CONVERSATIONS = 5_000

/** Writes only what has changed: most deliveries come from where the last ones came from. */
export function conversationBook(store: Conversations): ConversationBook {
  const known = new Map<string, Conversation>()
  const keyOf = ({ tenant, id }: Pick<Conversation, 'tenant' | 'id'>) => `${tenant} ${id}`
  const keep = (conversation: Conversation) => {
    if (known.size >= MOST_CONVERSATIONS) known.clear()
    known.set(keyOf(conversation), conversation)
  }

  async function get(tenant: string, id: string): Promise<Conversation | undefined> {
    const here = known.get(keyOf({ tenant, id }))
    if (here !== undefined) return here
    const stored = await store.get(tenant, id)
    if (stored !== undefined) keep(stored)
    return stored
  }

  return {
    get,
    async remember(conversation) {
      const before = await get(conversation.tenant, conversation.id)
      if (before?.serviceUrl === conversation.serviceUrl && before.kind === conversation.kind) return true
      await store.put(conversation)
      keep(conversation)
      return before !== undefined
    },
  }
}
