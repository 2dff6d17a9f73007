export type JsonPath = readonly (string | number)[]

/** A JSON text with the line on which each of its values stands; or the line on which it stops being JSON. */
export type JsonText =
  | { readonly kind: 'read'; readonly value: unknown; readonly lineOf: (path: JsonPath) => number }
  | { readonly kind: 'broken'; readonly line: number; readonly message: string }

interface Place {
  readonly text: string
  at: number
  line: number
  /** Where each value stands, in the order of the text; each has a path of its own. */
  readonly marks: (readonly [path: JsonPath, line: number])[]
}

interface Broken {
  readonly broken: string
}
const isBroken = (value: unknown): value is Broken => typeof value === 'object' && value !== null && BROKEN in value
const BROKEN = Symbol('broken')
const broken = (message: string): Broken => ({ broken: message, [BROKEN]: true }) as Broken

const DEEPEST = 40
const NUMBER = /-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?/y
// biome-ignore lint/suspicious/noControlCharactersInRegex: JSON forbids raw control characters inside a string.
const STRING = /"(?:[^"\\\u0000-\u001f]|\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4}))*"/y
const WORDS: Readonly<Record<string, unknown>> = { true: true, false: false, null: null }

/**
 * Reads a JSON text and remembers where everything stands, so that a fault found later can name its line.
 * A field given twice is refused: JSON readers keep the last one in silence.
 * @param text JSON (RFC 8259); a byte order mark in front is ignored
 */
export function readJson(text: string): JsonText {
  const place: Place = { text: text.replace(/^\uFEFF/, ''), at: 0, line: 1, marks: [] }
  skip(place)
  mark(place, [])
  const value = readValue(place, [])
  if (isBroken(value)) return { kind: 'broken', line: place.line, message: value.broken }
  skip(place)
  if (place.at < place.text.length) return { kind: 'broken', line: place.line, message: 'there is text after the closing brace' }
  // Asked for only where something is wrong; a start reads some hundred files in which nothing is.
  let lines: ReadonlyMap<string, number> | undefined
  const lineOf = (path: JsonPath): number => {
    lines ??= new Map(place.marks.map(([at, line]) => [JSON.stringify(at), line]))
    return nearestLine(lines, path)
  }
  return { kind: 'read', value, lineOf }
}

function nearestLine(lines: ReadonlyMap<string, number>, path: JsonPath): number {
  for (let length = path.length; length >= 0; length -= 1) {
    const line = lines.get(JSON.stringify(path.slice(0, length)))
    if (line !== undefined) return line
  }
  return 1
}

function skip(place: Place): void {
  for (; place.at < place.text.length; place.at += 1) {
    const character = place.text[place.at]
    if (character === '\n') place.line += 1
    else if (character !== ' ' && character !== '\t' && character !== '\r') return
  }
}

const mark = (place: Place, path: JsonPath): void => {
  place.marks.push([path, place.line])
}

function readValue(place: Place, path: JsonPath): unknown {
  if (path.length > DEEPEST) return broken(`nested more than ${DEEPEST} deep`)
  const character = place.text[place.at]
  if (character === '{') return readObject(place, path)
  if (character === '[') return readArray(place, path)
  if (character === '"') return readString(place)
  for (const [word, value] of Object.entries(WORDS)) {
    if (place.text.startsWith(word, place.at)) {
      place.at += word.length
      return value
    }
  }
  const digits = token(place, NUMBER)
  if (digits !== undefined) return JSON.parse(digits)
  return broken(character === undefined ? 'the text ends too early' : `"${character}" cannot stand here`)
}

function readObject(place: Place, path: JsonPath): unknown {
  const fields = new Map<string, unknown>()
  place.at += 1
  skip(place)
  if (take(place, '}')) return {}
  for (;;) {
    if (place.text[place.at] !== '"') return broken('a field name in double quotes is expected here')
    const name = readString(place)
    if (typeof name !== 'string') return name
    if (name === '__proto__') return broken('"__proto__" cannot be a field name')
    if (fields.has(name)) return broken(`"${name}" is given twice`)
    const inner = [...path, name]
    mark(place, inner)
    skip(place)
    if (!take(place, ':')) return broken(`a colon is expected after "${name}"`)
    skip(place)
    const value = readValue(place, inner)
    if (isBroken(value)) return value
    fields.set(name, value)
    skip(place)
    if (take(place, '}')) return Object.fromEntries(fields)
    if (!take(place, ',')) return broken(`a comma or a closing brace is expected after "${name}"`)
    skip(place)
  }
}

function readArray(place: Place, path: JsonPath): unknown {
  const items: unknown[] = []
  place.at += 1
  skip(place)
  if (take(place, ']')) return items
  for (;;) {
    const inner = [...path, items.length]
    mark(place, inner)
    const value = readValue(place, inner)
    if (isBroken(value)) return value
    items.push(value)
    skip(place)
    if (take(place, ']')) return items
    if (!take(place, ',')) return broken('a comma or a closing bracket is expected here')
    skip(place)
  }
}

function readString(place: Place): unknown {
  const quoted = token(place, STRING)
  return quoted === undefined ? broken('this text in quotes is not closed, or holds a character it may not') : JSON.parse(quoted)
}

function token(place: Place, pattern: RegExp): string | undefined {
  pattern.lastIndex = place.at
  const found = pattern.exec(place.text)?.[0]
  if (found !== undefined) place.at += found.length
  return found
}

function take(place: Place, character: string): boolean {
  if (place.text[place.at] !== character) return false
  place.at += 1
  return true
}
