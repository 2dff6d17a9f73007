import { deflateRawSync, inflateRawSync } from 'node:zlib'
import type { Reader, Writer } from './database.js'

/** Stands in the order of pieces where the plan's own text goes on. */
export const OWN = 0

interface Cut {
  readonly text: string
  readonly holed: string
  readonly shareable: boolean
}

// Databases take only so many values in one statement.
const AT_ONCE = 500
const batches = <Item>(items: readonly Item[]): readonly (readonly Item[])[] =>
  Array.from({ length: Math.ceil(items.length / AT_ONCE) }, (_, index) => items.slice(index * AT_ONCE, (index + 1) * AT_ONCE))

/**
 * The numbers of the pieces, each under its text. A piece that is new is kept with its holes and, where its numbers may be
 * shared, with them too: those of a model come again.
 */
export async function numbersOfPieces(writer: Writer, cuts: readonly Cut[]): Promise<ReadonlyMap<string, number>> {
  const numbers = new Map<string, number>()
  const wanted = new Set<string>()
  for (const { text, holed, shareable } of cuts) {
    wanted.add(holed)
    if (shareable) wanted.add(text)
  }
  for (const batch of batches([...wanted])) {
    const rows = await writer.selectFrom('plan_pieces').selectAll().where('text', 'in', batch).execute()
    for (const { number, text } of rows) numbers.set(text, number)
  }
  const fresh = new Set<string>()
  for (const { text, holed, shareable } of cuts) {
    if (numbers.has(holed)) continue
    fresh.add(holed)
    if (shareable) fresh.add(text)
  }
  for (const batch of batches([...fresh].filter((text) => !numbers.has(text)))) {
    const rows = await writer
      .insertInto('plan_pieces')
      .values(batch.map((text) => ({ text })))
      .returning(['number', 'text'])
      .execute()
    for (const { number, text } of rows) numbers.set(text, number)
  }
  return numbers
}

export async function textsOfPieces(reader: Reader, order: readonly number[]): Promise<ReadonlyMap<number, string>> {
  const texts = new Map<number, string>()
  for (const batch of batches([...new Set(order)].filter((number) => number !== OWN))) {
    const rows = await reader.selectFrom('plan_pieces').selectAll().where('number', 'in', batch).execute()
    for (const { number, text } of rows) texts.set(number, text)
  }
  return texts
}

/**
 * The order of a plan's pieces is much like that of plans before it, so it is packed against theirs. An order that packs
 * badly, and the first of all, is kept for those to come; each names the one before it, and the last few of such a row are the dictionary. It holds
 * numbers of shared pieces alone, and stays when a plan is erased.
 */
const DICTIONARY_BYTES = 32_768
const ORDERS = 20
const PACKS_BADLY_BYTES = 250

/** What later orders are packed against, when they follow this one. None for 0. */
export async function orderFor(reader: Reader, last: number): Promise<Buffer> {
  if (last === 0) return Buffer.alloc(0)
  const rows = await reader
    .withRecursive('before(number, follows, pieces, back)', (build) =>
      build
        .selectFrom('plan_orders')
        .where('number', '=', last)
        .select(({ lit }) => ['number', 'follows', 'pieces', lit(1).as('back')])
        .unionAll(
          build
            .selectFrom('plan_orders')
            .innerJoin('before', 'before.follows', 'plan_orders.number')
            .where('before.back', '<', ORDERS)
            .select(({ eb }) => [
              'plan_orders.number',
              'plan_orders.follows',
              'plan_orders.pieces',
              eb('before.back', '+', 1).as('back'),
            ]),
        ),
    )
    .selectFrom('before')
    .select('pieces')
    .orderBy('back', 'desc')
    .execute()
  return Buffer.concat(rows.map(({ pieces }) => inflateRawSync(pieces))).subarray(-DICTIONARY_BYTES)
}

export async function packOrder(
  writer: Writer,
  order: readonly number[],
): Promise<{ readonly follows: number; readonly bytes: Uint8Array }> {
  const newest = await writer
    .selectFrom('plan_orders')
    .select((build) => build.fn.max('number').as('number'))
    .executeTakeFirst()
  const last = newest?.number ?? 0
  const written = writtenOrder(order)
  const bytes = packedAgainst(written, await orderFor(writer, last))
  if (last !== 0 && bytes.length < PACKS_BADLY_BYTES) return { follows: last, bytes }
  const { number } = await writer
    .insertInto('plan_orders')
    .values({ follows: last === 0 ? null : last, pieces: deflateRawSync(written, { level: 9 }) })
    .returning('number')
    .executeTakeFirstOrThrow()
  return { follows: number, bytes: packedAgainst(written, await orderFor(writer, number)) }
}

const packedAgainst = (written: Buffer, dictionary: Buffer): Buffer =>
  dictionary.length === 0 ? deflateRawSync(written, { level: 9 }) : deflateRawSync(written, { level: 9, dictionary })

/** Two bytes a number, so that the same piece is the same two bytes; a number too high for two takes four. */
const HIGH = 0xf000
const BITS = 0x800

function writtenOrder(order: readonly number[]): Buffer {
  const units = order.flatMap((number) => (number < HIGH ? [number] : [HIGH + Math.floor(number / BITS), HIGH + (number % BITS)]))
  const written = Buffer.alloc(units.length * 2)
  for (const [index, unit] of units.entries()) written.writeUInt16BE(unit, index * 2)
  return written
}

export function unpackOrder(bytes: Uint8Array, dictionary: Buffer): readonly number[] {
  const written = dictionary.length === 0 ? inflateRawSync(bytes) : inflateRawSync(bytes, { dictionary })
  const order: number[] = []
  for (let at = 0; at < written.length; at += 2) {
    const unit = written.readUInt16BE(at)
    if (unit < HIGH) order.push(unit)
    else {
      at += 2
      order.push((unit - HIGH) * BITS + written.readUInt16BE(at) - HIGH)
    }
  }
  return order
}
