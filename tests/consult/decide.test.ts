import { describe, expect, it } from 'vitest'
import { type AskedConsult, type Consult, fold } from '../../src/consult/consult.js'
import { type ConsultCommand, decide, isRefusal, refusalWords } from '../../src/consult/decide.js'
import type { ConsultEvent, OpinionGiven } from '../../src/consult/events.js'
import type { Opinion } from '../../src/consult/opinion.js'
import { ASKED, ASKER, at, CORNEA, RETINA } from './invented-people.js'

const AGREE: Opinion = { kind: 'agree', steps: [] }
const STAIN: Opinion = { kind: 'agree-with-changes', steps: ['capsulorhexis'], sentence: 'stain before the rhexis' }

const { type: _, ...asAsked } = ASKED
const ask: ConsultCommand = { ...asAsked, type: 'ask' }
const answers = (by = CORNEA, opinion = AGREE, revision = 1): ConsultCommand => ({
  type: 'give-opinion',
  by,
  at: at(5),
  revision,
  opinion,
})
const answered = (by = CORNEA, opinion = AGREE, revision = 1): OpinionGiven => ({
  type: 'opinion-given',
  by,
  at: at(5),
  ref: 'MARSH-7',
  revision,
  opinion,
})

const given = (...events: readonly ConsultEvent[]) => when(fold(events))
const when = (consult: Consult) => ({ when: (command: ConsultCommand) => decide(command, consult) })
const onRevision = (revision: number, ...events: readonly ConsultEvent[]): AskedConsult => {
  const consult = fold([ASKED, ...events])
  if (consult.status !== 'asked') throw new Error('the consult of this test was asked')
  return { ...consult, revision }
}

describe('asking', () => {
  it('puts the consult to the team', () => {
    expect(given().when(ask)).toEqual([ASKED])
  })

  it('is refused a second time', () => {
    expect(given(ASKED).when(ask)).toEqual({ refused: 'already-asked', ref: 'MARSH-7' })
  })
})

describe('giving an opinion', () => {
  it('is recorded with who gave it and on which revision', () => {
    expect(given(ASKED).when(answers())).toEqual([answered()])
  })

  it('may be changed by the same colleague', () => {
    expect(given(ASKED, answered()).when(answers(CORNEA, STAIN))).toEqual([answered(CORNEA, STAIN)])
  })

  it('does nothing when the same opinion is given again', () => {
    expect(given(ASKED, answered(CORNEA, STAIN)).when(answers(CORNEA, STAIN))).toEqual([])
  })

  it('is refused to the asker on their own consult', () => {
    expect(given(ASKED).when(answers(ASKER))).toEqual({ refused: 'own-consult', ref: 'MARSH-7' })
  })

  it('is refused where nothing was asked', () => {
    expect(given().when(answers())).toEqual({ refused: 'no-such-consult' })
  })

  it('is recorded as on the older revision when it answers one', () => {
    expect(when(onRevision(2)).when(answers(CORNEA, AGREE, 1))).toEqual([answered(CORNEA, AGREE, 1)])
  })

  it('cannot fall back to an older revision than the one the colleague answered', () => {
    const consult = onRevision(2, answered(CORNEA, STAIN, 2))
    expect(when(consult).when(answers(CORNEA, AGREE, 1))).toEqual({
      refused: 'answered-newer-revision',
      ref: 'MARSH-7',
      given: 1,
      answered: 2,
    })
  })

  it('counts as new when the same words answer a newer revision', () => {
    expect(when(onRevision(2, answered())).when(answers(CORNEA, AGREE, 2))).toEqual([answered(CORNEA, AGREE, 2)])
  })

  it.each([0, 2, -1, 1.5, Number.NaN])('is refused on revision %d of a consult that has one', (revision) => {
    const decision = given(ASKED).when(answers(CORNEA, AGREE, revision))
    expect(decision).toMatchObject({ refused: 'no-such-revision', newest: 1 })
  })
})

describe('commenting', () => {
  const comment = (text: string): ConsultCommand => ({ type: 'comment', by: ASKER, at: at(6), text })

  it('is open to everyone, the asker too', () => {
    expect(given(ASKED).when(comment('B-scan repeated: flat'))).toEqual([
      { type: 'comment-made', by: ASKER, at: at(6), ref: 'MARSH-7', text: 'B-scan repeated: flat' },
    ])
  })

  it('is refused when nothing was said', () => {
    expect(given(ASKED).when(comment('  \n'))).toEqual({ refused: 'nothing-said', ref: 'MARSH-7' })
  })

  it('is refused where nothing was asked', () => {
    expect(given().when(comment('hello'))).toEqual({ refused: 'no-such-consult' })
  })
})

describe('the consult as it stands', () => {
  it('holds one present opinion a colleague, with what they said before', () => {
    const consult = onRevision(1, answered(), answered(RETINA, STAIN), { ...answered(CORNEA, STAIN), at: at(9) })
    expect(
      consult.opinions.map(({ by, opinion, earlier }) => [by.name, opinion.kind, earlier.map((was) => was.opinion.kind)]),
    ).toEqual([
      ['Alder', 'agree-with-changes', ['agree']],
      ['Sorrel', 'agree-with-changes', []],
    ])
  })

  it('keeps grade and field as they stood when the opinion was given', () => {
    const consult = onRevision(1, answered({ ...CORNEA, grade: 'fellow' }))
    expect(consult.opinions[0]?.by.grade).toBe('fellow')
  })

  it('refuses to be read from a trail that lacks its beginning', () => {
    expect(() => fold([answered()])).toThrow('opinion-given on MARSH-7 stands before the consult was asked')
  })
})

describe('a refusal', () => {
  it.each([
    [given(ASKED).when(ask), 'already been put'],
    [given().when(answers()), 'find WORDS'],
    [given(ASKED).when(answers(ASKER)), 'your own consult'],
    [given(ASKED).when(answers(CORNEA, AGREE, 4)), 'no revision 4; the newest is 1'],
    [when(onRevision(2, answered(CORNEA, AGREE, 2))).when(answers()), 'already answered revision 2'],
    [given(ASKED).when({ type: 'comment', by: ASKER, at: at(1), text: '' }), 'Nothing was written'],
  ])('says why and what to do (%#)', (decision, words) => {
    expect(isRefusal(decision) && refusalWords(decision)).toContain(words)
  })
})
