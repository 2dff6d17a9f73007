export const CONVERSATION_KINDS = ['channel', 'group', 'personal'] as const
export type ConversationKind = (typeof CONVERSATION_KINDS)[number]

/** What must be known of a conversation to post in it unasked. Holds nothing of what was said. */
export interface Conversation {
  readonly tenant: string
  /** Without the mark of a thread. */
  readonly id: string
  readonly kind: ConversationKind
  /** Where Teams takes messages for it; may move, so each delivery refreshes it. */
  readonly serviceUrl: string
}

/** Survives a restart, so that a card can be updated by a bot that has heard nothing since. */
export interface ConversationStore {
  get(tenant: string, id: string): Promise<Conversation | undefined>
  put(conversation: Conversation): Promise<void>
}

export interface ConversationBook {
  get(tenant: string, id: string): Promise<Conversation | undefined>
  /** @returns whether it was known before */
  remember(conversation: Conversation): Promise<boolean>
}

const MOST_CONVERSATIONS = 5_000

/** Writes only what has changed: most deliveries come from where the last ones came from. */
export function conversationBook(store: ConversationStore): ConversationBook {
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
