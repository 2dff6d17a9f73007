import type { PageNeeds } from './page-needs.js'

/** Links to the consults that a card names, so that a reference can be followed. */
export async function linksTo(needs: Pick<PageNeeds, 'isHere'>, shown: string): Promise<string> {
  const named = [...new Set(shown.match(/\b[A-Z]{3,12}-\d{1,6}\b/g) ?? [])].slice(0, 20)
  const known = await Promise.all(named.map(async (ref) => ((await needs.isHere(ref)) ? ref : undefined)))
  return known.map((ref) => (ref ? `<p><a href="/consult/${ref}">Open ${ref}</a></p>` : '')).join('')
}
