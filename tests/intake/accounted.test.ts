import { readdirSync, readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { caseSchema } from '../../src/case/case.js'
import { isConnecting } from '../../src/intake/ignorable.js'
import { normalise } from '../../src/intake/normalise.js'
import { matchAt, type Phrases } from '../../src/intake/phrases.js'
import { EYE_FORMS, FELLOW_FORMS } from '../../src/intake/read-eye.js'
import { tokenise } from '../../src/intake/tokens.js'
import { reading } from './reading-of.js'

const EYE_NAMES: readonly Phrases<unknown>[] = [EYE_FORMS, FELLOW_FORMS]
const bag = (words: readonly string[]): Map<string, number> => {
  const counts = new Map<string, number>()
  for (const word of words) counts.set(word, (counts.get(word) ?? 0) + 1)
  return counts
}
const tokensOf = (text: string): readonly string[] => tokenise(normalise(text).text).map(({ text: word }) => word)

/** The words of a message that are in no item, no problem, not in the question, and no connecting word or name of an eye. */
function lost(text: string): readonly string[] {
  const understood = reading(text)
  if (understood.kind !== 'case') return []
  const tokens = tokenise(normalise(text).text)
  const held = bag(
    [...understood.items.map(({ source }) => source), ...understood.problems.map(({ item }) => item)].flatMap(tokensOf),
  )
  return tokens.flatMap((token, at) => {
    if ((held.get(token.text) ?? 0) > 0) return []
    const isEye = [at, at - 1].some((from) => EYE_NAMES.some((table) => (matchAt(table, tokens, from)?.used ?? 0) > at - from))
    return isConnecting(token.kind, token.lower) || isEye || /^[rl]$/i.test(token.text) ? [] : [token.text]
  })
}

const fragment = fc.constantFrom(
  'LE',
  'RE',
  'OD',
  'left eye',
  'fellow eye',
  'other eye:',
  '58M',
  'F 72',
  'AL',
  'AL 29.60',
  'AL 29,84 mm',
  'AL 235',
  'K1 42.10@95',
  'K2 43.20@5',
  'K 43.5/44',
  'R1 7.80 mm',
  'n 1.332',
  'K1',
  '43.25',
  'ACD 3.4 from endothelium',
  'LT n/a',
  'CCT 0.541',
  'WTW: 11.9',
  'brown',
  'NO 5.2',
  'no',
  'no PXF',
  'not',
  'or',
  'phacodonesis',
  'PXF',
  'Emery IV',
  '4+',
  'nucleus',
  'dense',
  'ECD ?',
  '?',
  '? chop',
  'Q: why',
  'chop?',
  'target -1.75',
  'target 1.75',
  'target',
  '-1.50',
  'pseudophakic',
  'SE -15',
  '-14.50/-1.25x170',
  'VA 6/60',
  '20/200',
  'HM',
  'no view',
  'hazy',
  'view',
  'B-scan flat',
  'retina',
  'staphyloma',
  'macula',
  'registrar',
  'ST5',
  '120 cases',
  'supervised by consultant',
  'op tomorrow',
  'surgery 3 Dec 2026',
  'A 118.9',
  'a0',
  'SF 1.8',
  'lens: Quay 1',
  'Quay 3 sulcus',
  'tamsulosin 400 mcg od',
  'warfarin',
  'sub-tenon',
  '2.4 mm incision',
  'infusion 50 mmHg',
  'zonules',
  'unknown',
  'weak',
  'flurble',
  'xyzzy 12',
  '(',
  ')',
  '[mm]',
  ',',
  ';',
  '.',
  '\n',
  '\n\n',
  '\t',
  ' | ',
  '---',
  '@',
  '/',
  'x',
  '=',
  'both eyes',
  'OU',
  'IOP RE 14 LE 15',
  'OD   OS',
  'kept words: as is',
)
const message = fc.array(fragment, { minLength: 1, maxLength: 14 }).map((parts) => parts.join(' '))

describe('every message', () => {
  it('is answered, whatever it holds', () => {
    fc.assert(
      fc.property(
        fc.oneof(fc.string({ unit: 'grapheme', maxLength: 200 }), fc.string({ unit: 'binary', maxLength: 200 }), message),
        (text) => {
          const understood = reading(text)
          if (understood.kind === 'case') {
            expect(caseSchema.safeParse(understood.case).success).toBe(true)
            for (const { line, message: words, instead } of understood.problems) {
              expect(line).toBeGreaterThanOrEqual(1)
              expect(words.length * instead.length).toBeGreaterThan(0)
            }
          }
        },
      ),
      { numRuns: 800, seed: 11 },
    )
  })

  it('has every word in an item, a problem or the question, or it is a connecting word', () => {
    fc.assert(
      fc.property(message, (text) => {
        expect(lost(text)).toEqual([])
      }),
      { numRuns: 800, seed: 12 },
    )
  })

  it('keeps in the case what it reports as not understood', () => {
    fc.assert(
      fc.property(message, (text) => {
        const understood = reading(text)
        if (understood.kind !== 'case') return
        const kept = (understood.case.notUnderstood ?? []).map(({ text: words }) => words)
        for (const { kind, item, field } of understood.problems) {
          if (kind === 'not-understood' && field === undefined)
            expect([item, `fellow eye: ${item}`]).toContain(
              kept.find((words) => words === item || words === `fellow eye: ${item}`),
            )
        }
      }),
      { numRuns: 500, seed: 13 },
    )
  })

  const folder = new URL('../../examples/', import.meta.url)
  it.each(readdirSync(folder).filter((name) => name.endsWith('.txt')))('of the examples loses nothing: %s', (name) =>
    expect(lost(readFileSync(new URL(name, folder), 'utf8'))).toEqual([]),
  )
})
