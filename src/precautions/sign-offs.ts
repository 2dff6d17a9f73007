import { z } from 'zod'

/** One approval of one exact rule set. */
const signOffSchema = z.strictObject({
  who: z.string().trim().min(1).max(100),
  role: z.string().trim().min(1).max(100),
  /** ISO date. */
  when: z.iso.date(),
  /** Content hash of the rule set that was approved. */
  hash: z.string().regex(/^[0-9a-f]{64}$/),
})

export type SignOff = z.output<typeof signOffSchema>

/** Where a department keeps its record, beside its rules. */
export const SIGN_OFFS_FILE = 'sign-offs.json'

export type SignOffsRead =
  | { readonly kind: 'sign-offs'; readonly signOffs: readonly SignOff[] }
  | { readonly kind: 'faults'; readonly faults: readonly string[] }

const REMEDY = 'Restore the file from its last copy; a record is only ever added to'

/** Reads the record, or says what is wrong in it. A record that does not read is never written over. */
export function readSignOffs(text: string): SignOffsRead {
  let content: unknown
  try {
    content = JSON.parse(text)
  } catch {
    return { kind: 'faults', faults: [`${SIGN_OFFS_FILE} is not JSON. ${REMEDY}`] }
  }
  const parsed = z.array(signOffSchema).safeParse(content)
  if (parsed.success) return { kind: 'sign-offs', signOffs: parsed.data }
  const places = parsed.error.issues.map(({ path, message }) => `${path.join('.') || 'the whole'}: ${message}`)
  return { kind: 'faults', faults: places.map((place) => `${SIGN_OFFS_FILE}, ${place}. ${REMEDY}`) }
}

export type NewSignOff =
  | { readonly kind: 'sign-off'; readonly signOff: SignOff }
  | { readonly kind: 'faults'; readonly faults: readonly string[] }

const FIELDS = { who: '--by: write a name', role: '--role: write a role', when: '--on: write a date such as 2026-03-01' } as const

/**
 * Checks a new approval.
 * @param today ISO date; nobody signs for a day to come
 */
export function newSignOff(given: SignOff, today: string): NewSignOff {
  const parsed = signOffSchema.safeParse(given)
  if (!parsed.success) {
    const fields = parsed.error.issues.map(({ path }) => String(path[0]))
    const faults = fields.map((field) =>
      Object.hasOwn(FIELDS, field) ? FIELDS[field as keyof typeof FIELDS] : `${field} is wrong`,
    )
    return { kind: 'faults', faults }
  }
  if (parsed.data.when > today)
    return { kind: 'faults', faults: [`--on: ${parsed.data.when} is still to come; write the day of the approval`] }
  return { kind: 'sign-off', signOff: parsed.data }
}

export const signOffsText = (signOffs: readonly SignOff[]): string => `${JSON.stringify(signOffs, null, 2)}\n`

/** Who approved exactly this content, oldest first. */
export const approvalsOf = (signOffs: readonly SignOff[], version: string): readonly SignOff[] =>
  signOffs.filter(({ hash }) => hash === version)
