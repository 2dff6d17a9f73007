import { createRequire } from 'node:module'

/** The part of the reference library that is used: it is loaded from its browser bundle, the only one Node can load. */
interface ReferenceLibrary {
  readonly Versions: { readonly v1_4: unknown }
  readonly SerializationContext: new (
    version: unknown,
  ) => { readonly eventCount: number; getEventAt(index: number): { message: string } }
  readonly AdaptiveCard: new () => {
    parse(card: unknown, context: unknown): void
    validateProperties(): { readonly validationEvents: readonly { readonly message: string }[] }
  }
}
const reference = createRequire(import.meta.url)('adaptivecards/dist/adaptivecards.js') as ReferenceLibrary

/** What the reference library finds wrong with a card at schema 1.4. */
export function cardFaults(card: unknown): readonly string[] {
  const context = new reference.SerializationContext(reference.Versions.v1_4)
  const parsed = new reference.AdaptiveCard()
  parsed.parse(card, context)
  const whileParsing = Array.from({ length: context.eventCount }, (_, index) => context.getEventAt(index).message)
  return [...whileParsing, ...parsed.validateProperties().validationEvents.map((event) => event.message)]
}
