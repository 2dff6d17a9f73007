import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import * as units from '../../src/terms/units.js'

const DIRECTORY = new URL('../../src/optics/', import.meta.url)
const FENCED = /```ts\n([\s\S]*?)```/g
const DECIMALS = 6

interface Example {
  readonly file: string
  readonly code: string
  readonly expected: string
}

function examplesOf(file: string): readonly Example[] {
  const text = readFileSync(new URL(file, DIRECTORY), 'utf8').replace(/^ \* ?/gm, '')
  return [...text.matchAll(FENCED)].map(([, block = '']) => {
    const [code = '', expected = ''] = block.split('// =>')
    return { file, code: code.trim(), expected: expected.trim() }
  })
}

const files = readdirSync(DIRECTORY).filter((file) => file.endsWith('.ts'))
const examples = files.flatMap(examplesOf)

function nearly(actual: unknown, expected: unknown, path = 'value'): void {
  if (typeof expected === 'number') {
    expect(actual, path).toBeCloseTo(expected, DECIMALS)
  } else if (typeof expected === 'object' && expected !== null) {
    expect(Object.keys(actual as object).sort(), path).toEqual(Object.keys(expected).sort())
    for (const [key, value] of Object.entries(expected)) {
      nearly((actual as Record<string, unknown>)[key], value, `${path}.${key}`)
    }
  } else {
    expect(actual, path).toEqual(expected)
  }
}

const run = (code: string, names: Readonly<Record<string, unknown>>): unknown =>
  new Function(...Object.keys(names), `return (${code})`)(...Object.values(names))

describe('examples in the documentation', () => {
  it('are there', () => expect(examples.length).toBeGreaterThan(15))

  it.each(examples)('$file: $code', async ({ file, code, expected }) => {
    expect(expected, 'each example says what it gives').not.toBe('')
    const module = (await import(new URL(file, DIRECTORY).href)) as Readonly<Record<string, unknown>>
    const names = { ...units, ...module }
    nearly(run(code, names), run(expected, names))
  })
})
