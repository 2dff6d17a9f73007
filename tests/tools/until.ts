/**
 * Looks until there is something to see.
 * @param said what the fault says that is thrown after ten seconds
 */
export async function until<T>(
  look: () => T | undefined | false | Promise<T | undefined | false>,
  said: () => unknown = () => '',
): Promise<T> {
  for (let tries = 0; tries < 1_000; tries++) {
    const seen = await look()
    if (seen !== undefined && seen !== false) return seen
    await new Promise((resolve) => setTimeout(resolve, 10))
  }
  throw new Error(`not seen: ${JSON.stringify(said())}`)
}
