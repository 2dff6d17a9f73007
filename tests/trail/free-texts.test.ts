import { describe, expect, it } from 'vitest'
import type { ConsultEvent } from '../../src/consult/events.js'
import { commitmentsOf, ERASED, GENESIS, seal, unseal } from '../../src/trail/chain.js'
import { eventWords } from '../../src/trail/event-words.js'
import { ASKED, ASKER, at, CORNEA } from '../consult/invented-people.js'

const common = { by: ASKER, at: at(5), ref: 'MARSH-7' } as const
const SAID = 'words of a person'

/** Each kind of event, with `SAID` in every place where somebody's own words can stand. A new kind does not compile until it is here. */
const EACH: { readonly [Type in ConsultEvent['type']]: Extract<ConsultEvent, { type: Type }> } = {
  'consult-asked': { ...ASKED, question: SAID, words: SAID },
  'opinion-given': {
    ...common,
    type: 'opinion-given',
    by: CORNEA,
    revision: 1,
    opinion: { kind: 'agree', steps: ['lens'], sentence: SAID, wouldChangeMind: SAID },
  },
  'opinions-revealed': { ...common, type: 'opinions-revealed' },
  'consult-revised': {
    ...common,
    type: 'consult-revised',
    revision: 2,
    planHash: 'b'.repeat(64),
    words: SAID,
    question: SAID,
    changed: [SAID, SAID],
  },
  'comment-made': { ...common, type: 'comment-made', text: SAID, message: 'm1' },
  'comment-edited': { ...common, type: 'comment-edited', message: 'm1', text: SAID },
  'comment-deleted': { ...common, type: 'comment-deleted', message: 'm1' },
  'picture-shown': { ...common, type: 'picture-shown', said: SAID },
  'task-opened': { ...common, type: 'task-opened', task: 'T1', what: SAID, owner: 'Alder', from: 'typed' },
  'task-done': { ...common, type: 'task-done', task: 'T1', result: SAID },
  'consult-decided': {
    ...common,
    type: 'consult-decided',
    revision: 1,
    decision: {
      planA: SAID,
      planB: SAID,
      trigger: SAID,
      operates: SAID,
      lens: { powerD: 9, label: SAID },
      lensBecause: SAID,
      follows: ['Alder'],
      departs: [{ from: 'Sorrel', because: SAID }],
      overrides: [{ precaution: 'length-unconfirmed', because: SAID }],
    },
  },
  'outcome-recorded': {
    ...common,
    type: 'outcome-recorded',
    outcome: { stage: 'operation', acuity: SAID, note: SAID, lens: { powerD: 9, label: SAID }, complications: ['vitreous-loss'] },
  },
  'consult-recalled': { ...common, type: 'consult-recalled', wrong: SAID, here: SAID },
  'consult-closed': { ...common, type: 'consult-closed', because: SAID },
  'consult-reopened': { ...common, type: 'consult-reopened', because: SAID },
  'consult-withdrawn': { ...common, type: 'consult-withdrawn', because: SAID },
  'consult-reassigned': { ...common, type: 'consult-reassigned', to: CORNEA },
  'deputy-asked': { ...common, type: 'deputy-asked', deputy: 'Sorrel' },
  'reminder-sent': { ...common, type: 'reminder-sent', kind: 'unanswered', to: ['Sorrel'] },
  'reminders-paused': { ...common, type: 'reminders-paused' },
}

describe.each(Object.values(EACH).map((event) => [event.type, event] as const))('%s', (_type, event) => {
  const { link, texts } = seal(event, { position: 1, version: 1, previous: GENESIS }, () => 'salt'.repeat(6))

  it('holds nobody’s own words in what its hash covers, so that they can be erased', () => {
    expect(link.body).not.toContain(SAID)
    expect(texts.every(({ text }) => text === SAID)).toBe(true)
    expect(commitmentsOf(link)).toHaveLength(JSON.stringify(event).split(SAID).length - 1)
  })

  it('reads back as it was said, and as erased where the words are gone', () => {
    expect(unseal(link, () => SAID)).toEqual(event)
    expect(JSON.stringify(unseal(link, () => undefined))).toBe(JSON.stringify(unseal(link, () => SAID)).replaceAll(SAID, ERASED))
  })
})

describe('the words a search finds a consult by', () => {
  it.each([
    ['opinion-given', 'Alder consultant cornea Agree lens'],
    ['consult-decided', 'Wren registrar cataract decided'],
    ['consult-decided', '+9.0 D'],
    ['outcome-recorded', 'vitreous loss'],
    ['task-opened', 'Alder'],
    ['consult-reassigned', 'Alder'],
    ['deputy-asked', 'Sorrel'],
  ] as const)('of %s have %s in them', (type, words) => {
    expect(eventWords(EACH[type])).toContain(words)
  })

  it.each(['reminder-sent', 'reminders-paused', 'opinions-revealed', 'comment-deleted'] as const)('are none for %s', (type) => {
    expect(eventWords(EACH[type])).toBe('')
  })
})
