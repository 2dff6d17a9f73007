import { createHash } from 'node:crypto'
import type { ConsultEvent } from '../consult/events.js'
import { mapFreeTexts } from './free-texts.js'

/**
 * A link of the trail as it lies on disk. `body` is the event as canonical JSON in which each free text is replaced
 * by a salted commitment; the texts themselves lie beside it and can be erased without breaking the chain.
 */
export interface Link {
  /** Place in the whole trail, from 1, without holes. */
  readonly position: number
  readonly ref: string
  /** Place within its consult, from 1, without holes. */
  readonly version: number
  readonly body: string
  /** Hash of the link before it; `GENESIS` for the first. */
  readonly previous: string
  readonly hash: string
}

/** A free text and the salt that keeps its commitment from being guessed. Both are gone once the text was erased. */
export interface CommittedText {
  readonly commitment: string
  readonly salt: string
  readonly text: string
}

export const GENESIS = '0'.repeat(64)

/** What stands where a text was erased. */
export const ERASED = '[erased]'

/** SHA-256 of the text's UTF-8 bytes, lower-case hexadecimal. */
export const sha256 = (text: string): string => createHash('sha256').update(text, 'utf8').digest('hex')

/**
 * JSON with one form only: keys sorted by UTF-16 code units, no white space, numbers as ECMAScript prints them.
 * Source: RFC 8785 (2020), JSON Canonicalization Scheme, section 3.2. Keys whose value is undefined are left out.
 */
export function canonicalJson(value: unknown): string {
  if (typeof value === 'string') return JSON.stringify(value)
  if (typeof value === 'number') {
    if (!Number.isFinite(value)) throw new Error(`${value} has no form in JSON`)
    return String(value)
  }
  if (Array.isArray(value)) {
    let items = ''
    for (const item of value) items += `${items === '' ? '' : ','}${canonicalJson(item ?? null)}`
    return `[${items}]`
  }
  if (typeof value !== 'object' || value === null) return JSON.stringify(value)
  let fields = ''
  const object = value as Readonly<Record<string, unknown>>
  for (const key of Object.keys(object).sort()) {
    const field = object[key]
    if (field !== undefined) fields += `${fields === '' ? '' : ','}${JSON.stringify(key)}:${canonicalJson(field)}`
  }
  return `{${fields}}`
}

/** The name under which a content is kept: the hash of its canonical JSON. */
export const contentHash = (value: unknown): string => sha256(canonicalJson(value))

/** Hides a text behind a hash. `salt` must be fresh and random: at least 128 bits. */
export const commit = (text: string, salt: string): CommittedText => ({
  commitment: sha256(canonicalJson([salt, text])),
  salt,
  text,
})

export const linkHash = (link: Omit<Link, 'hash'>): string =>
  sha256(canonicalJson([link.position, link.ref, link.version, link.previous, link.body]))

/** Seals the next event of the trail. */
export function seal(
  event: ConsultEvent,
  place: { readonly position: number; readonly version: number; readonly previous: string },
  freshSalt: () => string,
): { readonly link: Link; readonly texts: readonly CommittedText[] } {
  const texts: CommittedText[] = []
  const body = canonicalJson(
    mapFreeTexts(event, (text) => {
      const committed = commit(text, freshSalt())
      texts.push(committed)
      return committed.commitment
    }),
  )
  const link = { ...place, ref: event.ref, body }
  return { link: { ...link, hash: linkHash(link) }, texts }
}

/** The event as it was said. A text that was erased reads as `ERASED`. */
export const unseal = (link: Pick<Link, 'body'>, textOf: (commitment: string) => string | undefined): ConsultEvent =>
  mapFreeTexts(JSON.parse(link.body) as ConsultEvent, (commitment) => textOf(commitment) ?? ERASED)

/** The commitments in a sealed event, in a fixed order. */
export function commitmentsOf(link: Pick<Link, 'body'>): readonly string[] {
  const found: string[] = []
  mapFreeTexts(JSON.parse(link.body) as ConsultEvent, (commitment) => {
    found.push(commitment)
    return commitment
  })
  return found
}
