import type { Reading } from './store/facts.js'
import { openReading } from './store/open.js'

/** Opens the trail to read it, beside a server that may be writing to it. */
export async function openTrail(databaseUrl: string): Promise<Reading | { readonly fault: string }> {
  try {
    return await openReading(databaseUrl)
  } catch (fault) {
    return { fault: fault instanceof Error ? fault.message : 'The trail cannot be read' }
  }
}
