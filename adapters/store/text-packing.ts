import { deflateRawSync, inflateRawSync } from 'node:zlib'
import type { CommittedText } from '../../src/trail/chain.js'
import { LIFE_OF_A_CONSULT } from './packing-dictionary.js'
import { asItWas } from './postgres/text-values.js'

/**
 * Texts and JSON of the trail in few bytes. The first byte says how the others are to be read; a form that was released is
 * read for ever, and its dictionary never changes.
 */
const PLAIN = 1
/** How many hashes, the hashes in 32 bytes each, then the text without them, deflated (RFC 1951) against the dictionary. */
const PACKED = 2
/** UTF-8 with what PostgreSQL could not keep in a text written as an escape: rows from before texts were packed. */
const PLAIN_ESCAPED = 3

const HASH = /[0-9a-f]{64}/g
const HASH_BYTES = 32
const MOST_HASHES = 255
/** Stands where a hash was. A text that holds it itself keeps its hashes as they stand. */
const HOLE = '\u0001'
const DICTIONARY = Buffer.from(LIFE_OF_A_CONSULT, 'utf8')

export function packText(text: string): Uint8Array {
  const hashes: string[] = []
  const takenOut = text.includes(HOLE)
    ? text
    : text.replace(HASH, (hash) => {
        if (hashes.length === MOST_HASHES) return hash
        hashes.push(hash)
        return HOLE
      })
  const packed = Buffer.concat([
    Buffer.from([PACKED, hashes.length]),
    Buffer.from(hashes.join(''), 'hex'),
    deflateRawSync(Buffer.from(takenOut, 'utf8'), { level: 9, dictionary: DICTIONARY }),
  ])
  const plain = Buffer.concat([Buffer.from([PLAIN]), Buffer.from(text, 'utf8')])
  return packed.length < plain.length ? packed : plain
}

/** @throws where the bytes are not of a form that was ever written */
export function unpackText(bytes: Uint8Array): string {
  const packed = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  switch (packed[0]) {
    case PLAIN:
      return packed.toString('utf8', 1)
    case PLAIN_ESCAPED:
      return asItWas(packed.toString('utf8', 1))
    case PACKED: {
      const count = packed[1] ?? 0
      const begin = 2 + count * HASH_BYTES
      const text = inflateRawSync(packed.subarray(begin), { dictionary: DICTIONARY }).toString('utf8')
      if (count === 0) return text
      let end = 2
      return text.replaceAll(HOLE, () => {
        end += HASH_BYTES
        return packed.toString('hex', end - HASH_BYTES, end)
      })
    }
    default:
      throw new Error(`A text is kept in a form that is not known (${packed[0] ?? 'empty'})`)
  }
}

/** A hash, or a commitment, as the bytes it stands for. */
export const hashBytes = (hex: string): Uint8Array => Buffer.from(hex, 'hex')
export const hashText = (bytes: Uint8Array): string =>
  Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).toString('hex')

/** A text as its row keeps it. */
export const textRow = ({ commitment, salt, text }: CommittedText) => ({
  commitment: hashBytes(commitment),
  salt,
  text: packText(text),
})

/** A hash as a row of the database gives it: in bytes, or as text where a chain is a small one. */
export const headText = (hash: unknown): string => (hash instanceof Uint8Array ? hashText(hash) : String(hash))
