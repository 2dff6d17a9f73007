import { commit, commitmentsOf, GENESIS, type Link, linkHash } from './chain.js'

/** What lies under a commitment: the text, `erased` where it was erased on purpose, nothing where it is lost. */
export type KeptText = { readonly salt: string; readonly text: string } | 'erased' | undefined

export type Verdict =
  | { readonly intact: true; readonly events: number; readonly head: string }
  | {
      readonly intact: false
      /** Position of the first event that is not as it was written. */
      readonly position: number
      readonly ref: string
      readonly fault: 'event-missing' | 'event-reordered' | 'event-altered' | 'text-altered' | 'text-missing'
      readonly words: string
    }

/**
 * Walks the trail from its first event and names the first that was altered, removed or moved.
 * Events cut off at the very end leave a shorter trail that is whole in itself: compare `head` with one noted elsewhere.
 * @param links in the order of their positions
 * @param textOf what is kept under a commitment
 */
export async function verifyChain(
  links: AsyncIterable<Link> | Iterable<Link>,
  textOf: (commitment: string) => KeptText | Promise<KeptText>,
): Promise<Verdict> {
  let previous = GENESIS
  let position = 0
  const versions = new Map<string, number>()

  for await (const link of links) {
    position += 1
    const broken = (fault: Extract<Verdict, { intact: false }>['fault'], words: string): Verdict => ({
      intact: false,
      position,
      ref: link.ref,
      fault,
      words: `Event ${position} (${link.ref}): ${words}`,
    })

    if (link.position > position) return broken('event-missing', `it is missing; the next one found is event ${link.position}`)
    if (link.position < position) return broken('event-reordered', `event ${link.position} stands in its place`)
    if (linkHash(link) !== link.hash) return broken('event-altered', 'its content does not match its hash')
    if (link.previous !== previous) return broken('event-altered', 'it does not follow from the event before it')

    const version = (versions.get(link.ref) ?? 0) + 1
    if (link.version !== version)
      return broken('event-missing', `it is number ${link.version} of its consult; number ${version} is missing`)
    versions.set(link.ref, version)

    if ((JSON.parse(link.body) as { ref: string }).ref !== link.ref)
      return broken('event-altered', 'it is filed under another consult')

    for (const commitment of commitmentsOf(link)) {
      const kept = await textOf(commitment)
      if (kept === undefined) return broken('text-missing', 'a text of it is gone without having been erased')
      if (kept !== 'erased' && commit(kept.text, kept.salt).commitment !== commitment) {
        return broken('text-altered', 'a text of it is not the text that was written')
      }
    }
    previous = link.hash
  }
  return { intact: true, events: position, head: previous }
}
