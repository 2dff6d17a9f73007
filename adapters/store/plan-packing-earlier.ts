import { deflateRawSync, inflateRawSync } from 'node:zlib'
import type { Reader } from './database.js'
import { OWN, textsOfPieces } from './plan-pieces.js'

const HOLE = '\u0001'

/** The canonical JSON of a plan that an earlier version packed: pieces by the steps between their numbers, decimals as text. */
export async function unpackEarlierText(reader: Reader, body: Uint8Array): Promise<string> {
  const [written, filling, own] = JSON.parse(inflateRawSync(body).toString('utf8')) as [string, string, string[]]
  let number = 0
  const order = written.split(',').map((step) => {
    number += 1 + Number(step)
    return number
  })
  const texts = await textsOfPieces(reader, order)
  const decimals = filling.split(',')
  let nextOwn = 0
  let nextDecimal = 0
  const next = () => decimals[nextDecimal++] ?? ''
  return order.map((piece) => (piece === OWN ? own[nextOwn++] : texts.get(piece)?.replaceAll(HOLE, next)) ?? '').join('')
}

/** A text of its own in that form, sharing nothing; drafts are kept so. */
export const packUnshared = (text: string): Uint8Array =>
  deflateRawSync(JSON.stringify([String(OWN - 1), '', [text]]), { level: 1 })
