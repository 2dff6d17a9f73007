import { z } from 'zod'
import { ACTS } from './record-acts.js'

/**
 * The trail as JSON lines (one JSON value a line, UTF-8, ended by a line feed): a header, one line an event in the
 * order of the chain with its texts, salts and the plan it names, one line an act on the records, and an end. Each line is canonical JSON, so that
 * the same trail gives the same bytes.
 */
export const LINES_FORM = 'soundings-trail'
/**
 * Raised when an older program could no longer read the lines: 2 brought the act that the seals were renewed and the event
 * that a consult was recalled. Lines of an earlier form are read as they are.
 */
export const LINES_VERSION = 2

const hash = z.string().regex(/^[0-9a-f]{64}$/, 'expected 64 hexadecimal digits')

export const headerLine = z.strictObject({
  line: z.literal('header'),
  form: z.literal(LINES_FORM),
  formVersion: z.int().min(1),
  /** The version of the program that wrote it. */
  soundings: z.string(),
  /** False when only some consults were chosen: such lines are to be read, not to be imported. */
  whole: z.boolean(),
})

const keptText = z.strictObject({ commitment: hash, salt: z.string(), text: z.string() })
const erasedText = z.strictObject({ commitment: hash, erased: z.literal(true) })

export const eventLine = z.strictObject({
  line: z.literal('event'),
  position: z.int().min(1),
  ref: z.string().min(1),
  version: z.int().min(1),
  previous: hash,
  hash,
  /** The sealed event: free texts are replaced by their commitments. */
  body: z.looseObject({ type: z.string(), ref: z.string() }),
  /** In the order in which the event holds them. */
  texts: z.array(z.union([keptText, erasedText])),
  /** The plan that the event names by its hash. */
  plan: z.looseObject({}).optional(),
  /** The plan was erased; its hash stands in the body. */
  planErased: z.literal(true).optional(),
})

/** What was done to the records themselves: see record-acts. */
export const actLine = z.strictObject({
  line: z.literal('act'),
  number: z.int().min(1),
  at: z.string(),
  by: z.string(),
  act: z.enum(ACTS),
  ref: z.string(),
  subject: z.string(),
  because: z.string(),
  previous: hash,
  hash,
})

export const endLine = z.strictObject({
  line: z.literal('end'),
  events: z.int().min(0),
  acts: z.int().min(0),
  /** Hash of the last event; noted elsewhere, it proves later that the trail up to here was not changed. */
  head: hash,
  /** SHA-256 of every line before this one, line feeds included. */
  sha256: hash,
})

export type HeaderLine = z.infer<typeof headerLine>
export type EventLine = z.infer<typeof eventLine>
export type ActLine = z.infer<typeof actLine>
export type EndLine = z.infer<typeof endLine>
