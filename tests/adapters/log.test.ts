import Database from 'better-sqlite3'
import { describe, expect, it } from 'vitest'
import { logAt } from '../../adapters/log.js'
import { fault } from '../../src/terms/fault.js'

const TYPED = 'LE 58M, AL 29.60, no fundal view'

function logged(err: unknown): string {
  const lines: string[] = []
  logAt('info', { write: (line) => void lines.push(line) }).error({ err, inbox: 7 }, 'a delivery could not be handled')
  expect(lines).toHaveLength(1)
  return lines[0] ?? ''
}

function thrownBy(work: () => unknown): unknown {
  try {
    work()
  } catch (thrown) {
    return thrown
  }
  throw new Error('nothing was thrown')
}

describe('a fault in the log', () => {
  it.each<[string, unknown]>([
    ['a parser that quotes what it choked on', thrownBy(() => JSON.parse(TYPED))],
    ['a case that nobody thought of', new Error(`Unknown ${JSON.stringify({ text: TYPED })}`)],
    // the fields of a database error that quote a row: PostgreSQL 15, 55.8, error and notice message fields (D, W)
    [
      'PostgreSQL, which quotes the row',
      Object.assign(new Error('null value violates not-null constraint'), {
        code: '23502',
        detail: `Failing row contains (1, ${TYPED}).`,
        where: `COPY inbox, line 1: "${TYPED}"`,
        parameters: [TYPED],
      }),
    ],
    ['a cause that quotes', new Error('wrapped', { cause: new Error(TYPED) })],
    ['words that look like a stack', new Error(`lines\n    at ${TYPED} (of the eye)\n    at ${TYPED}`)],
    ['no error at all', { said: TYPED }],
    ['bare words', TYPED],
  ])('of %s holds nothing that was typed', (_, thrown) => {
    expect(logged(thrown)).not.toMatch(/58M|29\.60|fundal/)
  })

  it('says of which kind it is, its code, where it arose and what caused it', () => {
    const line = JSON.parse(logged(new TypeError('no', { cause: thrownBy(() => new Database('/nowhere/at/all.db')) })))
    expect(line).toMatchObject({ msg: 'a delivery could not be handled', inbox: 7, err: { type: 'TypeError' } })
    expect(line.err.stack[0]).toContain('log.test.ts')
    expect(line.err.cause.type).toBe('TypeError')
  })

  it('of ours says what it says', () => {
    expect(JSON.parse(logged(fault('STORE.SEALS-GONE', 'the row of seals is not there'))).err).toMatchObject({
      code: 'STORE.SEALS-GONE',
      message: 'STORE.SEALS-GONE: the row of seals is not there',
    })
  })
})
