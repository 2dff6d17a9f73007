import { readFileSync } from 'node:fs'
import { type Group, groupsSchema } from '../src/desk/groups.js'

/** Reads and checks the department's groups. Every fault names the file and the place in it. */
export function readGroups(
  path: string | undefined,
): { readonly groups: readonly Group[] } | { readonly faults: readonly string[] } {
  if (path === undefined) return { groups: [] }
  let content: unknown
  try {
    content = JSON.parse(readFileSync(path, 'utf8'))
  } catch (fault) {
    return { faults: [`${path}: ${fault instanceof Error ? fault.message : 'cannot be read'}`] }
  }
  const parsed = groupsSchema.safeParse(content)
  if (parsed.success) return parsed.data
  return {
    faults: parsed.error.issues.map(({ path: place, message }) => `${path}: ${place.join('.') || 'the file'}: ${message}`),
  }
}
