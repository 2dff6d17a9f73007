import { describe, expect, it } from 'vitest'
import { type AskedConsult, fold, opinionsHidden } from '../../src/consult/consult.js'
import { type ConsultCommand, decide, isRefusal, refusalWords } from '../../src/consult/decide.js'
import type { ConsultEvent } from '../../src/consult/events.js'
import type { Person } from '../../src/consult/people.js'
import { by, closed, common, decided, given, operation, opinion, task, toDecide, types } from './a-life.js'
import { ASKED, ASKER, at, CORNEA, RETINA } from './invented-people.js'

describe('a decision', () => {
  it('is the asker’s, and moves the consult on', () => {
    expect(types(given(opinion()).when(toDecide({}, CORNEA)))).toEqual(['asker-only'])
    expect(given(opinion()).becomes(toDecide()).status).toBe('decided')
  })

  it('is replaced by a later one, the earlier stays', () => {
    const consult = given(decided()).becomes(toDecide({ planA: 'manual extraction' })) as AskedConsult
    expect(consult.decisions.map(({ decision }) => decision.planA)).toEqual(['chop', 'manual extraction'])
  })

  it.each([
    [{ planA: ' ' }, 'plan A'],
    [{ operates: '' }, 'who operates'],
    [{ planB: 'manual extraction' }, 'the trigger'],
  ])('without %j is refused', (change, missing) => {
    expect(given().when(toDecide(change))).toEqual({ refused: 'decision-incomplete', ref: 'MARSH-7', missing })
  })

  it('takes the recommended lens without a reason and any other only with one', () => {
    expect(types(given().when(toDecide({ lens: { powerD: 9 } })))).toEqual(['consult-decided'])
    expect(given().when(toDecide({ lens: { powerD: -9 } }))).toEqual({
      refused: 'lens-needs-reason',
      ref: 'MARSH-7',
      givenD: -9,
      recommendedD: 9,
    })
    expect(types(given().when(toDecide({ lens: { powerD: 9.5 }, lensBecause: 'nearer to the fellow eye' })))).toEqual([
      'consult-decided',
    ])
  })

  it('sets a critical precaution aside only with a reason, and only one that fires', () => {
    const override = (precaution: string, because: string) => toDecide({ overrides: [{ precaution, because }] })
    expect(types(given().when(override('length-unconfirmed', ' ')))).toEqual(['override-needs-reason'])
    expect(types(given().when(override('length-unconfirmed', 'measured twice elsewhere')))).toEqual(['consult-decided'])
    expect(given().when(override('no-such', 'because'))).toMatchObject({
      refused: 'no-such-precaution',
      critical: ['length-unconfirmed'],
    })
  })

  it.each(['do-not-operate-on-this-plan', 'not-this-surgeon-alone'] as const)('answers each %s', (kind) => {
    const consult = given(opinion(kind), opinion('agree', RETINA))
    expect(consult.when(toDecide())).toEqual({ refused: 'objection-not-answered', ref: 'MARSH-7', from: ['Alder'] })
    expect(types(consult.when(toDecide({ departs: [{ from: 'Alder', because: '' }] })))).toEqual(['departure-needs-reason'])
    expect(types(consult.when(toDecide({ departs: [{ from: 'alder', because: 'the retina was seen flat' }] })))).toEqual([
      'consult-decided',
    ])
    expect(types(consult.when(toDecide({ follows: ['Alder'] })))).toEqual(['consult-decided'])
  })

  it('follows only who has answered', () => {
    expect(given(opinion()).when(toDecide({ follows: ['Nobody'] }))).toMatchObject({
      refused: 'no-such-opinion',
      given: ['Alder'],
    })
  })
})

describe('a revision', () => {
  const revise = (person = ASKER): ConsultCommand => ({
    type: 'revise',
    ...by(person),
    planHash: 'b'.repeat(64),
    words: 'AL 29.70',
    changed: ['Axial length: 29.60 mm → 29.70 mm'],
  })

  it('is the asker’s, and asks the team again after a decision', () => {
    expect(types(given().when(revise(CORNEA)))).toEqual(['asker-only'])
    const consult = given(opinion(), decided()).becomes(revise()) as AskedConsult
    expect([consult.status, consult.revision, consult.opinions[0]?.revision]).toEqual(['asked', 2, 1])
    expect(consult.revisions[1]?.changed).toEqual(['Axial length: 29.60 mm → 29.70 mm'])
  })

  it('that changes nothing, or comes after the operation, is refused', () => {
    const same = { ...revise(), planHash: ASKED.planHash, question: ASKED.question } as ConsultCommand
    expect(types(given().when(same))).toEqual(['nothing-changed'])
    expect(types(given(operation).when(revise()))).toEqual(['already-operated'])
  })
})

describe('hidden opinions', () => {
  const hidden = (hideUntil: number | 'asker-lifts', ...events: readonly ConsultEvent[]): AskedConsult =>
    fold([{ ...ASKED, hideUntil }, ...events]) as AskedConsult
  const reveal = (person: Person): ConsultCommand => ({ type: 'reveal', ...by(person) })

  it('are shown once enough have answered', () => {
    expect(opinionsHidden(hidden(2, opinion()))).toBe(true)
    expect(opinionsHidden(hidden(2, opinion(), opinion('agree', RETINA)))).toBe(false)
  })

  it('are lifted by the asker and by nobody else', () => {
    expect(types(decide(reveal(CORNEA), hidden('asker-lifts', opinion())))).toEqual(['asker-only'])
    expect(types(decide(reveal(ASKER), hidden('asker-lifts', opinion())))).toEqual(['opinions-revealed'])
    expect(opinionsHidden(hidden('asker-lifts', opinion(), { ...common, type: 'opinions-revealed' }))).toBe(false)
  })

  it('are shown with the decision at the latest, and have nothing to lift where they are seen', () => {
    expect(opinionsHidden(hidden('asker-lifts', decided()))).toBe(false)
    expect(types(given(opinion()).when(reveal(ASKER)))).toEqual(['opinions-shown'])
  })
})

describe('tasks', () => {
  const open = (what: string): ConsultCommand => ({ type: 'open-task', ...by(CORNEA), what, from: 'typed' })

  it('are numbered within the consult and not opened twice', () => {
    expect(given(task('T1')).when(open('cell count'))).toMatchObject([{ type: 'task-opened', task: 'T2', what: 'cell count' }])
    expect(given(task('T1')).when(open('b-scan'))).toEqual([])
  })

  it('are done once, by anyone, with what came of them', () => {
    const done: ConsultCommand = { type: 'finish-task', ...by(RETINA), task: 't1', result: 'flat' }
    const consult = given(task('T1')).becomes(done) as AskedConsult
    expect(consult.tasks[0]?.done).toMatchObject({ by: RETINA, result: 'flat' })
    expect(decide({ type: 'finish-task', ...by(RETINA), task: 'T1' }, consult)).toEqual([])
    expect(given(task('T1')).when({ ...done, task: 'T9' } as ConsultCommand)).toEqual({
      refused: 'no-such-task',
      ref: 'MARSH-7',
      task: 'T9',
      open: ['T1'],
    })
  })
})

describe('comments', () => {
  const said: ConsultEvent = { ...common, type: 'comment-made', by: CORNEA, text: 'flat', message: 'm1' }

  it('that were edited or taken back are still known', () => {
    const edit: ConsultCommand = { type: 'edit-comment', ...by(CORNEA), message: 'm1', text: 'not flat' }
    const edited = given(said).becomes(edit) as AskedConsult
    expect(edited.comments[0]).toMatchObject({ text: 'not flat', earlier: ['flat'] })
    const gone = given(said).becomes({ type: 'delete-comment', ...by(CORNEA), message: 'm1' }) as AskedConsult
    expect(gone.comments[0]).toMatchObject({ text: 'flat', deletedAt: at(9) })
  })

  it('are changed by their writer only', () => {
    expect(types(given(said).when({ type: 'edit-comment', ...by(RETINA), message: 'm1', text: 'x' }))).toEqual([
      'comment-of-another',
    ])
    expect(types(given(said).when({ type: 'edit-comment', ...by(CORNEA), message: 'm9', text: 'x' }))).toEqual([
      'no-such-comment',
    ])
  })
})

describe('each refusal', () => {
  const all: readonly ReturnType<typeof decide>[] = [
    given().when(toDecide({}, CORNEA)),
    given().when({ type: 'close', ...by(CORNEA), lead: false }),
    given(closed).when(toDecide()),
    given(operation).when(toDecide()),
    given().when({ type: 'reopen', ...by(ASKER), because: '', lead: false }),
    given().when({ type: 'withdraw', ...by(ASKER), because: '' }),
    given().when(toDecide({ planA: '' })),
    given().when(toDecide({ planB: 'x' })),
    given().when(toDecide({ lens: { powerD: -9 } })),
    given().when(toDecide({ overrides: [{ precaution: 'length-unconfirmed', because: '' }] })),
    given().when(toDecide({ overrides: [{ precaution: 'x', because: 'y' }] })),
    given(opinion()).when(toDecide({ departs: [{ from: 'Alder', because: '' }] })),
    given().when(toDecide({ follows: ['Alder'] })),
    given(opinion('do-not-operate-on-this-plan')).when(toDecide()),
    given().when({ type: 'finish-task', ...by(ASKER), task: 'T1' }),
    given().when({ type: 'edit-comment', ...by(ASKER), message: 'm', text: 'x' }),
    given().when({ type: 'reveal', ...by(ASKER) }),
    given().when({ type: 'reassign', ...by(ASKER), lead: false, to: ASKER }),
    given().when({ type: 'ask-deputy', ...by(ASKER) }),
  ]

  it.each(all.map((decision) => [isRefusal(decision) ? decision.refused : 'accepted', decision] as const))(
    '%s is a sentence',
    (kind, decision) => {
      expect(kind).not.toBe('accepted')
      const words = isRefusal(decision) ? refusalWords(decision) : ''
      expect(words).toMatch(/^[\p{Lu}“].{20,}[.…a-z0-9A-Z]$/su)
      expect(words).not.toContain('undefined')
    },
  )

  it('of a lens reads both powers back with their signs', () => {
    const decision = given().when(toDecide({ lens: { powerD: -9 } }))
    expect(isRefusal(decision) && refusalWords(decision)).toContain(
      'You wrote \u22129.0 D; the plan of MARSH-7 recommends +9.0 D',
    )
  })
})
