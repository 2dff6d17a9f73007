import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readJson } from '../../src/precautions/json-lines.js'

const TEXT = `{
  "id": "a",
  "when": {
    "all": [
      { "fact": "x" },
      {
        "fact": "y"
      }
    ]
  },
  "empty": [], "none": {}
}`

describe('a JSON text with its lines', () => {
  const json = readJson(TEXT)
  const lineOf = json.kind === 'read' ? json.lineOf : () => 0

  it.each([
    [[], 1],
    [['id'], 2],
    [['when', 'all'], 4],
    [['when', 'all', 0, 'fact'], 5],
    [['when', 'all', 1], 6],
    [['when', 'all', 1, 'fact'], 7],
    [['none'], 11],
  ])('knows that %j stands on line %i', (path, line) => expect(lineOf(path)).toBe(line))

  it('answers for something missing with the line of what it is missing from', () => {
    expect(lineOf(['when', 'all', 1, 'value'])).toBe(6)
    expect(lineOf(['text'])).toBe(1)
  })

  it.each([
    ['{ "a": 1,\n "a": 2 }', 2, '"a" is given twice'],
    ['{ "a": 1\n "b": 2 }', 2, 'a comma or a closing brace is expected after "a"'],
    ['{ "a": [1,\n\n 2 }', 3, 'a comma or a closing bracket is expected here'],
    ['{ "a" 1 }', 1, 'a colon is expected after "a"'],
    ['{ "a": "unclosed }', 1, 'this text in quotes is not closed, or holds a character it may not'],
    ['{ "a": 1 }\n\nmore', 3, 'there is text after the closing brace'],
    ['{ "a": 01 }', 1, 'a comma or a closing brace is expected after "a"'],
    ['{ "a": yes }', 1, '"y" cannot stand here'],
    ['{ "a":', 1, 'the text ends too early'],
    ['', 1, 'the text ends too early'],
    ["{ 'a': 1 }", 1, 'a field name in double quotes is expected here'],
    ['{ "__proto__": 1 }', 1, '"__proto__" cannot be a field name'],
    [`${'['.repeat(60)}${']'.repeat(60)}`, 1, 'nested more than 40 deep'],
  ])('refuses %j and says where', (text, line, message) => {
    expect(readJson(text)).toEqual({ kind: 'broken', line, message })
  })

  it('reads what JSON.parse reads, on any JSON value in any layout, a byte order mark in front or not', () => {
    fc.assert(
      fc.property(fc.jsonValue({ maxDepth: 4 }), fc.constantFrom(0, 2, '\t'), fc.boolean(), (value, space, mark) => {
        const text = JSON.stringify(value, null, space)
        const read = readJson(mark ? `\uFEFF${text}` : text)
        if (text.includes('"__proto__"')) return
        expect(read).toMatchObject({ kind: 'read' })
        if (read.kind === 'read') expect(JSON.stringify(read.value)).toBe(JSON.stringify(JSON.parse(text)))
      }),
      { numRuns: 300, seed: 20_002 },
    )
  })
})
