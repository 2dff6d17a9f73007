import { describe, expect, it } from 'vitest'
import { OPTICS_MODELS } from '../../src/optics/all.js'

const each = OPTICS_MODELS.flatMap((model) => model.coefficients.map((coefficient) => ({ model: model.id, ...coefficient })))

describe('the list of published models', () => {
  it('names each model once and each number once within its model', () => {
    expect(new Set(OPTICS_MODELS.map(({ id }) => id)).size).toBe(OPTICS_MODELS.length)
    expect(new Set(each.map(({ model, name }) => `${model}/${name}`)).size).toBe(each.length)
  })

  it('holds the numbers that a person must check in print, each marked as from memory until then', () => {
    const numbers = each.filter(({ sureness }) => sureness === 'memory').map(({ value }) => value)
    const toCheck = [
      ...[24.2, -3.446, 1.716, -0.0237, -5.41, 0.58412, 0.098, 0.62467, -68.747, -3.336, 0.65696, -0.02029],
      ...[-10.326, 0.3263, 0.13533, 12.5, 23.45, 13.5, 0.56, 0.2, 7],
      ...[0.3, 0.1, -0.99166, 0.05, 28, 23.5, 18.5, 31, 1.3315, 0.4, 3.37, 23.39],
      ...[0.8289, 4.2663, 0.8544, 3.7222, 0.853, 3.5794, 0.9286, 1.562, 0.817, 4.7013, 0.8453, 4.0773],
      ...[1.23853, 0.95855, -0.05467, 0.508, 0.926, 0.009, 0.932],
    ]
    expect(toCheck.filter((value) => !numbers.includes(value))).toEqual([])
  })

  it('cites a source and a population for every model', () => {
    for (const { source, population, years } of OPTICS_MODELS) {
      expect(source.cite.length).toBeGreaterThan(10)
      expect(population).not.toBe('')
      expect(years).not.toBe('')
    }
  })
})
