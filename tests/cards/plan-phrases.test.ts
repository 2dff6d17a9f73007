import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { frequencyRange } from '../../src/cards/frequency-range.js'
import { PLAN_PHRASES } from '../../src/cards/words-of-plans-en.js'
import { planOf } from './documents/a-consult.js'

const example = (name: string): string => readFileSync(new URL(`../../examples/${name}.txt`, import.meta.url), 'utf8')
const plans = await Promise.all(['long-brown-eye', 'thirty-four-millimetres'].map((name) => planOf(example(name))))
const said = plans.map((plan) => JSON.stringify(plan)).join('\n')

describe('the phrases by which a card knows a sentence of the plan', () => {
  const { population, cells, recalibratedBriefly: _, ...rest } = PLAN_PHRASES
  it.each([...Object.values(rest), ...Object.values(cells)])('"%s" is written by a model or a rule', (phrase) => {
    expect(said).toContain(phrase)
  })
  it('the populations that are cut short are such as the models write', () => {
    const written = plans.flatMap(({ risks }) => risks.map((risk) => risk.population))
    expect(written.some((words) => population.countsOperations.test(words) && population.further.test(words))).toBe(true)
    expect(written.some((words) => words.includes(population.leftOut) && words.includes(population.country))).toBe(true)
  })
})

describe('two probabilities as a range', () => {
  it.each([
    [0.06, 0.08, '6 to 8 in 100'],
    [0.061, 0.059, '6 in 100'],
    [0.003, 0.06, '3 in 1,000 to 6 in 100'],
    [0.00001, 0.06, 'fewer than 1 in 10,000 to 6 in 100'],
  ])('%d and %d', (low, high, words) => expect(frequencyRange(low, high)).toBe(words))
})
