import { pathToFileURL } from 'node:url'
import { EXAMPLE_MESSAGES, LONGEST_MESSAGE } from '../src/intake/guidance.js'
import { findIdentifiers } from '../src/intake/identifiers.js'
import { understand } from '../src/intake/understand.js'

const TODAY = '2026-03-02'
const REPEATS = 400
const ROUNDS = 7
const SIZES = [1_000, 10_000, 100_000, 1_000_000]

/** Invented text of a length: lines as a case has them, and lines that no reader takes. */
function textOf(characters: number): string {
  const lines = [
    'LE AL 29.60 optical, K1 42.10@95 K2 43.20@5',
    'the lens is dense, would colleagues chop or convert',
    'flurble wurble 12.5 xyzzy',
  ]
  let text = ''
  for (let line = 0; text.length < characters; line += 1) text += `${lines[line % lines.length]}\n`
  return text.slice(0, characters)
}

/** Median milliseconds of one call over the rounds; the first round warms up. */
function milliseconds(work: () => unknown, repeats: number): number {
  const times: number[] = []
  for (let round = 0; round <= ROUNDS; round += 1) {
    const start = performance.now()
    for (let count = 0; count < repeats; count += 1) work()
    if (round > 0) times.push((performance.now() - start) / repeats)
  }
  return times.sort((one, other) => one - other)[ROUNDS >> 1] ?? Number.NaN
}

interface Growth {
  readonly characters: number
  readonly ms: string
  readonly 'ns a character': string
  readonly 'against a thousand characters': string
}

/** Time a character as a text grows: where work is linear, the ratio stays near 1. */
function growth(sizes: readonly number[], work: (text: string) => unknown): readonly Growth[] {
  let first: number | undefined
  return sizes.map((characters) => {
    const text = textOf(characters)
    const time = milliseconds(() => work(text), Math.max(1, Math.round(100_000 / characters)))
    const each = (time * 1_000_000) / characters
    first ??= each
    return {
      characters,
      ms: time.toFixed(3),
      'ns a character': each.toFixed(0),
      'against a thousand characters': `${(each / first).toFixed(2)} x`,
    }
  })
}

/** Microseconds to read each message of the help, the guard's part of it, and how both grow with the length of a text. */
export async function run(): Promise<void> {
  const context = { today: TODAY, lensLabels: ['Quay 1', 'Quay 3 sulcus'] }
  console.table(
    EXAMPLE_MESSAGES.map((message) => {
      const read = milliseconds(() => understand(message, context), REPEATS)
      const guarded = milliseconds(() => findIdentifiers(message, TODAY), REPEATS)
      return {
        characters: message.length,
        'read, µs': (read * 1000).toFixed(0),
        'guard alone, µs': (guarded * 1000).toFixed(0),
        'the guard is': `${((100 * guarded) / read).toFixed(0)} % of it`,
      }
    }),
  )
  console.info('the identifier guard over a growing text')
  console.table(growth(SIZES, (text) => findIdentifiers(text, TODAY)))
  console.info(`reading a growing text, up to the longest that is read (${LONGEST_MESSAGE} characters)`)
  console.table(growth([1_000, 5_000, LONGEST_MESSAGE], (text) => understand(text, context)))
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) await run()
