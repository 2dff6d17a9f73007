import { readFileSync } from 'node:fs'
import { type LensList, lensListSchema } from '../src/case/lens-list.js'

/** Reads and checks a department's lens list. Every fault names the file and the place in it. */
export function readLensList(path: string): { readonly lensList: LensList } | { readonly faults: readonly string[] } {
  let content: unknown
  try {
    content = JSON.parse(readFileSync(path, 'utf8'))
  } catch (fault) {
    return { faults: [`${path}: ${fault instanceof Error ? fault.message : 'cannot be read'}`] }
  }
  const parsed = lensListSchema.safeParse(content)
  if (parsed.success) return { lensList: parsed.data }
  return {
    faults: parsed.error.issues.map(({ path: place, message }) => `${path}: ${place.join('.') || 'the list'}: ${message}`),
  }
}
