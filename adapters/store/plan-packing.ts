import { deflateRawSync, inflateRawSync } from 'node:zlib'
import type { Plan } from '../../src/plan/plan.js'
import { canonicalJson, sha256 } from '../../src/trail/chain.js'
import type { Reader, Writer } from './database.js'
import { NUMBERS_OF_PLANS } from './packing-dictionary.js'
import { readNumbers, writeNumbers } from './plan-numbers.js'
import { unpackEarlierText } from './plan-packing-earlier.js'
import { numbersOfPieces, OWN, orderFor, packOrder, textsOfPieces, unpackOrder } from './plan-pieces.js'

/**
 * A plan is some 200 KB of text, nearly all of it sentences of rules and models that thousands of plans share.
 * So the text is cut into pieces; a piece is kept once for all plans, and a plan keeps the order of its pieces. In what is
 * computed for an eye each number is a hole in its piece, since the sentence around it is the same for others; the plan keeps
 * what fills the holes. Where the numbers of such a piece are those of the model and not of the eye, the piece is kept with
 * them as well, and then there is nothing to fill. Putting all together gives the same characters again, which the plan's
 * hash proves at each reading. What the asker wrote is never made a shared piece, nor is a number measured on the eye.
 */

type Sharing = 'own' | 'with-holes' | 'as-it-stands'

/**
 * How the parts of a plan are kept. Precautions and tensions are the rules' own words, numbers included; whatever is not
 * named here may hold the asker's words.
 */
const SHARING: Readonly<Record<string, Sharing>> = {
  precautions: 'as-it-stands',
  tensions: 'as-it-stands',
  versions: 'as-it-stands',
  gaps: 'with-holes',
  risks: 'with-holes',
  surgery: 'with-holes',
  biometryChecks: 'with-holes',
  'lens.formulas': 'with-holes',
  'lens.forecast': 'with-holes',
  'lens.constants': 'with-holes',
  'lens.recommended': 'with-holes',
  'lens.spread': 'with-holes',
  'lens.toric': 'with-holes',
  // Its lens comes from the department's list.
  'lens.backup': 'with-holes',
}
const ENTERED = new Set(['', 'lens'])

/** No JSON text holds these characters as they stand, so they can mark a hole and an end. */
const HOLE = '\u0001'
const END = '\u0002'
const PIECE_ENDS = /(?<=\},)/

const STRING = String.raw`"(?:[^"\\]|\\.)*"`
/** What says where a number comes from is the same in every plan, so its own numbers stay; any other number is a hole. */
const NUMBERS = new RegExp(
  String.raw`"(?:cite|population|equation|model|id|year|sureness|about|name|unit)":(?:${STRING}|\d+)|(?<![\w.])-?\d+(?:[.,]\d+)*(?:e[+-]?\d+)?`,
  'g',
)
/** A decimal of this length was computed, one of the shorter length that also stands in the case was measured. */
const COMPUTED = 9
const MEASURED = 4

/** The first byte of a packed plan. No deflated stream begins with it, and plans of early versions are nothing else. */
const FORM = 7
const DICTIONARY = Buffer.from(NUMBERS_OF_PLANS, 'utf8')

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

/** A cut of the text: as it stands, and with holes where it has numbers that may be others in the next plan. */
interface Cut {
  readonly text: string
  readonly holed: string
  readonly numbers: readonly string[]
  /** Whether its numbers may be kept for all plans. */
  readonly shareable: boolean
}

function cutsOf({ text, sharing }: Chunk, measured: string): readonly Cut[] {
  return text.split(PIECE_ENDS).map((cut) => {
    if (sharing === 'as-it-stands') return { text: cut, holed: cut, numbers: [], shareable: true }
    const numbers: string[] = []
    const holed = cut.replace(NUMBERS, (found) => {
      if (found.startsWith('"')) return found
      numbers.push(found)
      return HOLE
    })
    const ofThisEye = (number: string): boolean =>
      (number.length >= COMPUTED && number.includes('.')) ||
      (number.length >= MEASURED && measured.includes(number.replaceAll(',', '')))
    return { text: cut, holed, numbers, shareable: !numbers.some(ofThisEye) }
  })
}

export async function packPlan(writer: Writer, plan: Plan): Promise<{ readonly hash: string; readonly body: Uint8Array }> {
  const chunks = chunksOf(plan)
  const measured = canonicalJson(plan.case)
  const own: string[] = []
  const cuts: (Cut | typeof OWN)[] = []
  for (const chunk of chunks) {
    if (chunk.sharing !== 'own') cuts.push(...cutsOf(chunk, measured))
    else if (cuts.at(-1) === OWN) own.push(`${own.pop()}${chunk.text}`)
    else {
      cuts.push(OWN)
      own.push(chunk.text)
    }
  }
  const known = await numbersOfPieces(
    writer,
    cuts.filter((cut) => cut !== OWN),
  )
  const order: number[] = []
  const filling: string[] = []
  for (const cut of cuts) {
    const exact = cut === OWN ? OWN : known.get(cut.text)
    order.push(exact ?? known.get((cut as Cut).holed) ?? Number.NaN)
    if (exact === undefined) filling.push(...(cut as Cut).numbers)
  }
  const { words, mantissas } = writeNumbers(filling)
  const text = deflateRawSync(Buffer.from(`${own.join(HOLE)}${END}${words}`, 'utf8'), { level: 9, dictionary: DICTIONARY })
  const packedOrder = await packOrder(writer, order)
  const body = Buffer.concat([
    Buffer.from([FORM, ...varint(packedOrder.follows), ...varint(packedOrder.bytes.length), ...varint(text.length)]),
    packedOrder.bytes,
    text,
    Buffer.from(mantissas.length % 2 === 0 ? mantissas : `${mantissas}0`, 'hex'),
  ])
  return { hash: sha256(chunks.map((chunk) => chunk.text).join('')), body }
}

/** The canonical JSON of a packed plan. */
export async function unpackPlan(reader: Reader, body: Uint8Array): Promise<string> {
  if (body[0] !== FORM) return unpackEarlierText(reader, body)
  const bytes = Buffer.from(body.buffer, body.byteOffset, body.byteLength)
  const { values, end } = varints(bytes, 1, 3)
  const [follows = 0, orderLength = 0, textLength = 0] = values
  const textFrom = end + orderLength
  const order = unpackOrder(bytes.subarray(end, textFrom), await orderFor(reader, follows))
  const [joined = '', words = ''] = inflateRawSync(bytes.subarray(textFrom, textFrom + textLength), { dictionary: DICTIONARY })
    .toString('utf8')
    .split(END)
  const own = joined.split(HOLE)
  const numbers = readNumbers({ words, mantissas: bytes.toString('hex', textFrom + textLength) })
  const texts = await textsOfPieces(reader, order)
  let nextOwn = 0
  let nextNumber = 0
  const next = () => numbers[nextNumber++] ?? ''
  return order.map((number) => (number === OWN ? own[nextOwn++] : texts.get(number)?.replaceAll(HOLE, next)) ?? '').join('')
}

/** Whole numbers in seven bits a byte, the lowest first; the eighth says that more follow. */
function varint(value: number): readonly number[] {
  return value < 0x80 ? [value] : [(value % 0x80) + 0x80, ...varint(Math.floor(value / 0x80))]
}

function varints(bytes: Buffer, from: number, count: number): { readonly values: readonly number[]; readonly end: number } {
  const values: number[] = []
  let end = from
  while (values.length < count) {
    let value = 0
    let weight = 1
    for (let more = true; more; weight *= 0x80) {
      const byte = bytes[end++] ?? 0
      value += (byte % 0x80) * weight
      more = byte >= 0x80
    }
    values.push(value)
  }
  return { values, end }
}
