import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { Database } from '../../../adapters/store/database.js'
import { packPlan, unpackPlan } from '../../../adapters/store/plan-packing.js'
import { openSqliteDatabase } from '../../../adapters/store/sqlite/open.js'
import type { Plan } from '../../../src/plan/plan.js'
import { canonicalJson, contentHash } from '../../../src/trail/chain.js'
import { inventedPlan } from '../../contracts/invented-plan.js'

let database: Database
beforeEach(() => {
  database = openSqliteDatabase(':memory:')
})
afterEach(() => database.close())

const pack = (plan: Plan) => database.db.transaction().execute((writer) => packPlan(writer, plan))
const pieces = async () => (await database.db.selectFrom('plan_pieces').select('text').execute()).map(({ text }) => text)

/** A plan with these words in each of the ways a part of it is kept. */
const withWords = (words: string): Plan => {
  const plan = inventedPlan({ question: words })
  const gap = { fact: 'fact', label: words, state: 'missing' as const, wouldChange: words }
  return { ...plan, gaps: [gap, gap], precautions: plan.precautions.map((precaution) => ({ ...precaution, text: words })) }
}

describe('a packed plan', () => {
  it.each([
    'plain words',
    'from 4.25 to 6.5 in 100, \u22121.75 D, 1.5e-7',
    'a {brace}, [bracket], "quote" \\ and },{ },',
    'zero and one: \u0000 \u0001 \u001f, a lone \ud800, an eye \u{1F441}',
    '1.2.3 -0.0 10.10e+5 1,234.50',
    '',
  ])('is the same characters again with %j in it', async (words) => {
    const plan = withWords(words)
    const { hash, body } = await pack(plan)
    expect(hash).toBe(contentHash(plan))
    expect(await unpackPlan(database.db, body)).toBe(canonicalJson(plan))
  })

  it('shares its sentences with other plans, whatever decimals were computed for them', async () => {
    const plan = inventedPlan()
    const leaving = (lowD: number): Plan => ({
      ...plan,
      lens: {
        ...plan.lens,
        ...(plan.lens.recommended ? { recommended: { ...plan.lens.recommended, leaves: { lowD, highD: -1.25 } } } : {}),
      },
    })
    await pack(leaving(-1.91))
    const before = await pieces()
    await pack(leaving(-2.34))
    expect(await pieces()).toEqual(before)
  })

  it('makes no shared piece of what the asker wrote', async () => {
    await pack(inventedPlan({ question: 'a sentence of the asker' }))
    for (const text of await pieces()) expect(text).not.toMatch(/sentence of the asker|brown NO/)
  })

  it('of a trail with more pieces than one statement takes is whole', async () => {
    const plan = inventedPlan()
    const gaps = Array.from({ length: 1200 }, (_, number) => ({
      fact: `fact ${number}`,
      label: 'label',
      state: 'missing' as const,
      wouldChange: 'something',
    }))
    const { body } = await pack({ ...plan, gaps })
    expect(await unpackPlan(database.db, body)).toBe(canonicalJson({ ...plan, gaps }))
  })
})
