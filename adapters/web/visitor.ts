import { randomBytes, timingSafeEqual } from 'node:crypto'
import { z } from 'zod'
import { type Person, UNNAMED } from '../../src/consult/people.js'

/**
 * Who sits at the page. There are no accounts: on one machine people say who they are, and the browser keeps it.
 * The token guards forms against being sent from another site.
 */
const visitorSchema = z.object({
  id: z.string().regex(/^web:[a-z0-9]{16}$/),
  name: z.string().max(80),
  grade: z.string().max(60).optional(),
  field: z.string().max(60).optional(),
  token: z.string().regex(/^[a-f0-9]{32}$/),
})
export type Visitor = z.infer<typeof visitorSchema>

export const VISITOR_COOKIE = 'soundings_visitor'

export function newVisitor(): Visitor {
  const id = randomBytes(8).toString('hex')
  return { id: `web:${id}`, name: '', token: randomBytes(16).toString('hex') }
}

/** Reads the visitor from a Cookie header; anything unreadable is a new visitor. */
export function visitorFrom(cookieHeader: string | undefined): Visitor | undefined {
  for (const part of (cookieHeader ?? '').split(';')) {
    const at = part.indexOf('=')
    if (part.slice(0, at).trim() !== VISITOR_COOKIE) continue
    try {
      const text = Buffer.from(part.slice(at + 1).trim(), 'base64url').toString('utf8')
      const parsed = visitorSchema.safeParse(JSON.parse(text))
      if (parsed.success) return parsed.data
    } catch {
      return undefined
    }
  }
  return undefined
}

export function visitorCookie(visitor: Visitor): string {
  const value = Buffer.from(JSON.stringify(visitor), 'utf8').toString('base64url')
  return `${VISITOR_COOKIE}=${value}; Path=/; HttpOnly; SameSite=Strict; Max-Age=31536000`
}

export function tokenMatches(visitor: Visitor, given: unknown): boolean {
  if (typeof given !== 'string' || given.length !== visitor.token.length) return false
  return timingSafeEqual(Buffer.from(given), Buffer.from(visitor.token))
}

export function personOf(visitor: Visitor): Person {
  return {
    id: visitor.id,
    name: visitor.name || UNNAMED,
    ...(visitor.grade ? { grade: visitor.grade } : {}),
    ...(visitor.field ? { field: visitor.field } : {}),
  }
}
