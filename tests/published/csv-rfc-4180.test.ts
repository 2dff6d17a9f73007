import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { csvRecord } from '../../src/trail/csv.js'
import { parsedCsv } from '../trail/parsed-csv.js'

/** RFC 4180 (2005), Common Format and MIME Type for CSV Files, section 2: the examples of rules 1, 6 and 7. */
describe('a CSV record', () => {
  it('is that of RFC 4180', () => {
    expect(csvRecord(['aaa', 'bbb', 'ccc'])).toBe('aaa,bbb,ccc\r\n')
    expect(csvRecord(['aaa', 'b\r\nbb', 'ccc'])).toBe('aaa,"b\r\nbb",ccc\r\n')
    expect(csvRecord(['aaa', 'b"bb', 'ccc'])).toBe('aaa,"b""bb",ccc\r\n')
  })

  it('reads back as it was, but for the guard of a formula', () => {
    fc.assert(
      fc.property(fc.array(fc.string({ unit: 'binary' }), { minLength: 1, maxLength: 6 }), (cells) => {
        const [record = []] = parsedCsv(csvRecord(cells))
        expect(record.map((cell, index) => (cell === `'${cells[index]}` ? cells[index] : cell))).toEqual(cells)
      }),
    )
  })

  // The signs that OWASP names under "CSV Injection" (community page, undated): = + - @ tab, carriage return, and their full-width forms.
  it.each(['=1+1', '+1', '-1+2', '@SUM(A1)', '\t=1', '\r=1', ' =1', '＝1', '－1', '＠x', '\u0000=1'])('guards %j', (text) => {
    expect(parsedCsv(csvRecord([text]))[0]?.[0]).toBe(`'${text}`)
  })

  it('leaves numbers and signed powers readable', () => {
    expect(csvRecord([-2.5, 9, 'lens +9.0 D', '\u22122.5 D', undefined])).toBe('-2.5,9,lens +9.0 D,\u22122.5 D,\r\n')
    expect(() => csvRecord([Number.NaN])).toThrow()
  })
})
