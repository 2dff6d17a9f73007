import { describe, expect, it } from 'vitest'
import { exportCsv } from '../../src/trail/export-csv.js'
import { inventedConsult } from './an-invented-consult.js'
import { parsedCsv } from './parsed-csv.js'
import { collected, trailInMemory } from './trail-in-memory.js'
import { EVENTS, SHORT } from './two-cases.js'

describe('the CSV form', () => {
  const csvOf = async (names = false) => {
    const { events, plans } = await inventedConsult()
    const { trail } = trailInMemory([...events, ...EVENTS.slice(1, 2)], [...plans, SHORT])
    const text = (await collected(exportCsv(trail, { names }))).join('')
    const [titles = [], ...rows] = parsedCsv(text.replace('\ufeff', ''))
    const records = rows.map((row) => Object.fromEntries(titles.map((title, index) => [title, row[index] ?? ''])))
    return { text, titles, records }
  }

  it('has one row a consult, with the same number of cells in each', async () => {
    const { titles, records, text } = await csvOf()
    expect(records.map((record) => record['reference'])).toEqual(['MARSH-7', 'QUAY-2'])
    expect(new Set(titles).size).toBe(titles.length)
    for (const row of parsedCsv(text)) expect(row).toHaveLength(titles.length)
  })

  it('keeps every sign of a power and a refraction, as words and as a number', async () => {
    const { records } = await csvOf()
    expect(records[0]).toMatchObject({
      'lens decided': 'lens \u22122.5 D',
      'lens decided D': '-2.5',
      'lens implanted D': '-2.5',
      target: 'target \u22121.75 D',
      'target D': '-1.75',
      'refraction after': 'refraction \u22121.25 D',
      'refraction after D': '-1.25',
    })
    expect(records[1]).toMatchObject({ 'recommended lens': 'lens +9.0 D', 'recommended lens D': '9' })
  })

  it('has days from the ask and no date, ages over 89 as 90+, nobody by name unless asked', async () => {
    const { text, records } = await csvOf()
    expect(records[0]).toMatchObject({
      age: '90+',
      'asked by': 'colleague 1',
      'first opinion, days from ask': '1',
      'decided, days from ask': '4',
      'refraction, days from ask': '42',
    })
    expect(text).not.toMatch(/\d{4}-\d{2}-\d{2}/)
    expect(text).not.toContain('Wren')
    expect((await csvOf(true)).records[0]).toMatchObject({ 'asked by': 'Wren' })
  })

  it('counts opinions by kind, and says "none" of complications only where somebody did', async () => {
    const { records } = await csvOf()
    expect(records[0]).toMatchObject({
      'opinions: agree, with changes': '1',
      'opinions: agree': '1',
      'opinions: do not operate on this plan': '0',
      complications: 'none',
    })
    expect(records[1]).toMatchObject({ complications: '', age: '', 'lens implanted': '' })
  })

  it('lets no spreadsheet run what a person typed', async () => {
    const { records } = await csvOf()
    expect(records[0]).toMatchObject({ question: "'=Chop, or plan a manual extraction?" })
  })
})
