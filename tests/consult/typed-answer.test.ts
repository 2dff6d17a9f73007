import { describe, expect, it } from 'vitest'
import { stepsNamed, typedAnswer } from '../../src/consult/typed-answer.js'

describe('a typed answer', () => {
  it.each([
    ['agree', 'agree', undefined],
    ['Agree.', 'agree', undefined],
    ['I agree', 'agree', undefined],
    ['AGREED', 'agree', undefined],
    ['agree: good plan', 'agree', 'good plan'],
    ['agree but: stain the capsule', 'agree-with-changes', 'stain the capsule'],
    ['Agree, but stain the capsule', 'agree-with-changes', 'stain the capsule'],
    ['agree \u2013 but \u2014 sub-Tenon', 'agree-with-changes', 'sub-Tenon'],
    ['agree - but: lower the bottle at entry', 'agree-with-changes', 'lower the bottle at entry'],
    ['Agree, with changes', 'agree-with-changes', undefined],
    ['agree with changes: ring ready', 'agree-with-changes', 'ring ready'],
    ['need: B-scan', 'need-this-first', 'B-scan'],
    ['Need B-scan', 'need-this-first', 'B-scan'],
    ['need:cell count', 'need-this-first', 'cell count'],
    ['need this first \u2013 second biometry', 'need-this-first', 'second biometry'],
    ['not alone: consultant in theatre', 'not-this-surgeon-alone', 'consultant in theatre'],
    ['Not alone', 'not-this-surgeon-alone', undefined],
    ['not this surgeon alone: mentor scrubbed', 'not-this-surgeon-alone', 'mentor scrubbed'],
    ['stop: detached on B-scan', 'do-not-operate-on-this-plan', 'detached on B-scan'],
    ['STOP', 'do-not-operate-on-this-plan', undefined],
    ['stop! retina is off', 'do-not-operate-on-this-plan', 'retina is off'],
    ['do not operate on this plan: refer first', 'do-not-operate-on-this-plan', 'refer first'],
    ['agree but: why not\nsub-Tenon?', 'agree-with-changes', 'why not\nsub-Tenon?'],
  ])('%j is %s with %j', (text, kind, sentence) => {
    const answer = typedAnswer(text)
    expect(answer?.kind).toBe(kind)
    expect(answer?.sentence).toBe(sentence)
  })

  it.each([
    'I do not agree',
    "I don't agree",
    'disagree',
    'agree?',
    'agree with the chop',
    'agree, unless the zonules are weak',
    'agree: only if the B-scan is flat',
    'agree but',
    'need?',
    'need',
    'need B-scan?',
    'need not wait',
    'no need: it is fine',
    'I need to leave',
    'not alone in thinking so',
    'stop tamsulosin today',
    'do not operate on Friday',
    'stop?',
    'stopping now',
    'who agrees',
    '',
    '   ',
  ])('%j is not an opinion', (text) => {
    expect(typedAnswer(text)).toBeUndefined()
  })

  it('carries the steps that its sentence names, in surgical order', () => {
    expect(typedAnswer('agree but: larger rhexis and sub-Tenon block, then chop')?.steps).toEqual([
      'anaesthesia',
      'capsulorhexis',
      'nucleus',
    ])
  })
})

describe('the steps a sentence names', () => {
  it.each([
    ['suture the wound', ['incision', 'closure']],
    ['trypan blue, soft-shell', ['viscoelastic', 'capsulorhexis']],
    ['repeat the axial length and the B-scan', ['assessment', 'biometry']],
    ['order the lens', ['lens']],
    ['well done', []],
    ['choppy waters, lensless', []],
  ])('%j: %j', (sentence, steps) => {
    expect(stepsNamed(sentence)).toEqual(steps)
  })
})
