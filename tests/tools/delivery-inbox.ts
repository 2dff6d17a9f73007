import type { Delivery } from '../../src/desk/ports.js'

export interface Inbox {
  readonly kept: Delivery[]
  /** What `accept` does before it keeps a delivery: nothing, unless a test says otherwise. */
  before: (delivery: Delivery) => void | Promise<void>
  /** What happens once it is kept, before the chat hears of it. */
  after: () => void
}

/** Keeps deliveries as the desk does, in memory. */
export function inbox(): Inbox & { accept(delivery: Delivery): Promise<void> } {
  const kept: Delivery[] = []
  return {
    kept,
    before: () => {},
    after: () => {},
    async accept(delivery) {
      await this.before(delivery)
      if (!kept.some((one) => one.key === delivery.key)) kept.push(delivery)
      this.after()
    },
  }
}

/** Holds the next delivery at the inbox: `reached` when it is there, kept once it is let in. */
export function held(inbox: Inbox): { readonly reached: Promise<void>; letIn(): void } {
  let open = () => {}
  const reached = new Promise<void>((inboxReached) => {
    inbox.before = () =>
      new Promise<void>((resolve) => {
        open = resolve
        inboxReached()
      })
  })
  return { reached, letIn: () => open() }
}
