import { describe, expect, it } from 'vitest'
import { approvalsOf, newSignOff, readSignOffs, type SignOff, signOffsText } from '../../src/precautions/sign-offs.js'

const HASH = 'a'.repeat(64)
const SIGNED: SignOff = { who: 'A. Lead (invented)', role: 'clinical lead', when: '2026-03-01', hash: HASH }

describe('a record of approvals', () => {
  it('reads what it writes', () => {
    expect(readSignOffs(signOffsText([SIGNED]))).toEqual({ kind: 'sign-offs', signOffs: [SIGNED] })
  })

  it.each([
    ['no JSON', '[{'],
    ['no list', '{}'],
    ['a hash cut short', signOffsText([{ ...SIGNED, hash: 'abc' }])],
    ['a day that is none', signOffsText([{ ...SIGNED, when: '2026-02-30' }])],
    ['a field of its own', JSON.stringify([{ ...SIGNED, note: 'x' }])],
  ])('with %s is refused, and says to restore it', (_, text) => {
    const read = readSignOffs(text)
    expect(read).toMatchObject({ kind: 'faults', faults: [expect.stringContaining('Restore the file')] })
  })

  it('names only approvals of exactly one content', () => {
    const other = { ...SIGNED, hash: 'b'.repeat(64) }
    expect(approvalsOf([SIGNED, other], HASH)).toEqual([SIGNED])
    expect(approvalsOf([other], HASH)).toEqual([])
  })
})

describe('a new approval', () => {
  it('is taken for today and for a day gone by', () => {
    expect(newSignOff(SIGNED, '2026-03-01')).toEqual({ kind: 'sign-off', signOff: SIGNED })
    expect(newSignOff(SIGNED, '2026-04-01')).toMatchObject({ kind: 'sign-off' })
  })

  it('is refused for a day to come, without a name or a role, or on no day, each with its option', () => {
    expect(newSignOff(SIGNED, '2026-02-28')).toMatchObject({
      faults: [expect.stringMatching(/^--on: 2026-03-01 is still to come/)],
    })
    expect(newSignOff({ who: ' ', role: '', when: '1 March', hash: HASH }, '2026-03-01')).toEqual({
      kind: 'faults',
      faults: ['--by: write a name', '--role: write a role', '--on: write a date such as 2026-03-01'],
    })
  })
})
