import { deflateRawSync, inflateRawSync } from 'node:zlib'
import type { Plan } from '../../src/plan/plan.js'
import { canonicalJson, sha256 } from '../../src/trail/chain.js'
import type { Reader, Writer } from './database.js'

/**
 * A plan is some 200 KB of text, nearly all of it sentences of rules and models that thousands of plans share.
 * So the text is cut into pieces, with a hole for each decimal number that is computed; a piece is kept once for all plans,
 * and a plan keeps the numbers of its pieces and what fills their holes. Putting them together gives the same characters again,
 * which the plan's hash proves at each reading. What the asker wrote is never made a shared piece.
 */

type Sharing = 'own' | 'with-holes' | 'with-long-holes' | 'as-it-stands'

/**
 * How the parts of a plan are kept. Precautions and tensions are the rules' own words, decimals included;
 * what is computed for an eye has other decimals in every plan; whatever is not named here may hold the asker's words.
 */
const SHARING: Readonly<Record<string, Sharing>> = {
  precautions: 'as-it-stands',
  tensions: 'as-it-stands',
  gaps: 'with-holes',
  // Their short decimals are mostly printed in papers and stand in every plan; a computed one is long.
  risks: 'with-long-holes',
  surgery: 'with-long-holes',
  biometryChecks: 'with-holes',
  'lens.formulas': 'with-holes',
  'lens.forecast': 'with-holes',
  'lens.constants': 'with-holes',
  'lens.recommended': 'with-holes',
  // Its lens comes from the department's list.
  'lens.backup': 'with-holes',
}
const ENTERED = new Set(['', 'lens'])

/** No JSON text holds this character as it stands, so it can mark a hole. */
const HOLE = '\u0001'
const DECIMAL = /-?\d+\.\d+(?:e[+-]?\d+)?/g
const LONG_DECIMAL = 9
const PIECE_ENDS = /(?<=\},)/

/** Stands in the list of pieces where the plan's own text goes on. */
const OWN = 0

interface Chunk {
  readonly text: string
  readonly sharing: Sharing
}

/** @returns the plan's canonical JSON in chunks, in order */
function chunksOf(part: unknown, path = ''): readonly Chunk[] {
  const sharing = SHARING[path] ?? 'own'
  if (sharing !== 'own' || !ENTERED.has(path) || typeof part !== 'object' || part === null) {
    return [{ text: canonicalJson(part), sharing }]
  }
  const chunks: Chunk[] = []
  const fields = Object.entries(part)
    .filter(([, value]) => value !== undefined)
    .sort(([one], [other]) => (one < other ? -1 : 1))
  for (const [index, [key, value]] of fields.entries()) {
    chunks.push({ text: `${index === 0 ? '{' : ','}${JSON.stringify(key)}:`, sharing: 'own' })
    chunks.push(...chunksOf(value, path === '' ? key : `${path}.${key}`))
  }
  return [...chunks, { text: fields.length === 0 ? '{}' : '}', sharing: 'own' }]
}

export async function packPlan(writer: Writer, plan: Plan): Promise<{ readonly hash: string; readonly body: Uint8Array }> {
  const pieces: (string | typeof OWN)[] = []
  const decimals: string[] = []
  const own: string[] = []
  const chunks = chunksOf(plan)
  for (const { text, sharing } of chunks) {
    if (sharing === 'own') {
      if (pieces.at(-1) === OWN) own.push(`${own.pop()}${text}`)
      else {
        pieces.push(OWN)
        own.push(text)
      }
      continue
    }
    for (const cut of text.split(PIECE_ENDS)) {
      const withHoles = () =>
        cut.replace(DECIMAL, (decimal) => {
          if (sharing === 'with-long-holes' && decimal.length < LONG_DECIMAL) return decimal
          decimals.push(decimal)
          return HOLE
        })
      pieces.push(sharing === 'as-it-stands' ? cut : withHoles())
    }
  }
  const numbers = await numbersOf(writer, [...new Set(pieces.filter((piece) => piece !== OWN))])
  const sequence = pieces.map((piece) => (piece === OWN ? OWN : (numbers.get(piece) ?? Number.NaN)))
  const written = JSON.stringify([steps(sequence), decimals.join(), own])
  return { hash: sha256(chunks.map(({ text }) => text).join('')), body: deflateRawSync(written, { level: 9 }) }
}

/** A text of its own in the same form, sharing nothing. */
export const packText = (text: string): Uint8Array => deflateRawSync(JSON.stringify([steps([OWN]), '', [text]]), { level: 1 })

/** The canonical JSON of a packed plan, or another text packed like one. */
export async function unpackText(reader: Reader, body: Uint8Array): Promise<string> {
  const [written, filling, own] = JSON.parse(inflateRawSync(body).toString('utf8')) as [string, string, string[]]
  const sequence = walked(written)
  const texts = await textsOf(
    reader,
    [...new Set(sequence)].filter((number) => number !== OWN),
  )
  const decimals = filling.split(',')
  let nextOwn = 0
  let nextDecimal = 0
  const next = () => decimals[nextDecimal++] ?? ''
  return sequence.map((number) => (number === OWN ? own[nextOwn++] : texts.get(number)?.replaceAll(HOLE, next)) ?? '').join('')
}

// Pieces follow each other much as they did in the plan that brought them, so the steps are mostly 1 and take no room.
const steps = (sequence: readonly number[]): string =>
  sequence
    .map((number, index) => number - (sequence[index - 1] ?? 0) - 1)
    .map((step) => (step === 0 ? '' : step))
    .join()

function walked(written: string): readonly number[] {
  let number = 0
  return written.split(',').map((step) => {
    number += 1 + Number(step)
    return number
  })
}

// Databases take only so many values in one statement.
const AT_ONCE = 500
const batches = <Item>(items: readonly Item[]): readonly (readonly Item[])[] =>
  Array.from({ length: Math.ceil(items.length / AT_ONCE) }, (_, index) => items.slice(index * AT_ONCE, (index + 1) * AT_ONCE))

async function numbersOf(writer: Writer, pieces: readonly string[]): Promise<ReadonlyMap<string, number>> {
  const numbers = new Map<string, number>()
  for (const batch of batches(pieces)) {
    const rows = await writer.selectFrom('plan_pieces').selectAll().where('text', 'in', batch).execute()
    for (const { number, text } of rows) numbers.set(text, number)
  }
  for (const batch of batches(pieces.filter((piece) => !numbers.has(piece)))) {
    const rows = await writer
      .insertInto('plan_pieces')
      .values(batch.map((text) => ({ text })))
      .returning(['number', 'text'])
      .execute()
    for (const { number, text } of rows) numbers.set(text, number)
  }
  return numbers
}

async function textsOf(reader: Reader, numbers: readonly number[]): Promise<ReadonlyMap<number, string>> {
  const texts = new Map<number, string>()
  for (const batch of batches(numbers)) {
    const rows = await reader.selectFrom('plan_pieces').selectAll().where('number', 'in', batch).execute()
    for (const { number, text } of rows) texts.set(number, text)
  }
  return texts
}
