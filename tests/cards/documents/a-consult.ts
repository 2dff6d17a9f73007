import { readFileSync } from 'node:fs'
import { readGround } from '../../../adapters/ground.js'
import type { DocumentConsult } from '../../../src/cards/documents/document-input.js'
import { understand } from '../../../src/intake/understand.js'
import { makePlan } from '../../../src/plan/make-plan.js'
import type { Plan } from '../../../src/plan/plan.js'
import { ASKER, at, CORNEA, RETINA } from '../../consult/invented-people.js'

/** The plan of the long eye with a brown lens that the examples hold, or of another message. */
export async function planOf(message: string): Promise<Plan> {
  const read = await readGround({}, 'allowed')
  if ('faults' in read) throw new Error(read.faults.join('\n'))
  const lensLabels = read.ground.lensList?.lenses.map(({ label }) => label) ?? []
  const understood = understand(message, { today: '2026-03-02', lensLabels })
  if (understood.kind !== 'case') throw new Error(`not read as a case: ${understood.kind}`)
  return makePlan(understood.case, read.ground)
}

export const LONG_BROWN_EYE = readFileSync(new URL('../../../examples/long-brown-eye.txt', import.meta.url), 'utf8')

export const UNANSWERED: DocumentConsult = {
  status: 'asked',
  ref: 'MARSH-7',
  askedBy: ASKER,
  askedAt: at(0),
  asking: {},
  question: 'Chop, or plan a manual extraction from the start?',
  revision: 1,
  opinions: [],
  revealed: false,
  comments: [],
  tasks: [],
  decisions: [],
  outcomes: [],
  recalls: [],
}

export const DECIDED: DocumentConsult = {
  ...UNANSWERED,
  status: 'decided',
  opinions: [
    {
      by: CORNEA,
      at: at(5),
      revision: 1,
      opinion: { kind: 'agree-with-changes', steps: ['nucleus'], sentence: 'Soft shell, and stop early if it does not split.' },
      earlier: [],
    },
    {
      by: RETINA,
      at: at(9),
      revision: 1,
      opinion: { kind: 'need-this-first', steps: ['assessment'], sentence: 'B-scan by us first.' },
      earlier: [],
    },
  ],
  comments: [{ by: CORNEA, at: at(6), text: 'Seen the pictures.', earlier: [] }],
  tasks: [
    { task: 'T1', what: 'B-scan by the retina team', owner: 'Sorrel', due: '2026-03-06', from: 'opinion', openedBy: RETINA },
    {
      task: 'T2',
      what: 'cell count again',
      owner: 'Wren',
      from: 'typed',
      openedBy: ASKER,
      done: { by: ASKER, at: at(20), result: '2,150' },
    },
  ],
  decisions: [
    {
      by: ASKER,
      at: at(30),
      revision: 1,
      decision: {
        planA: 'Chop under a soft shell',
        planB: 'Manual extraction through a scleral tunnel',
        trigger: 'the nucleus does not split after 90 s of ultrasound',
        operates: 'Wren, Alder scrubbed',
        lens: { powerD: 9 },
        follows: ['Alder', 'Sorrel'],
        departs: [],
        overrides: [{ precaution: 'pupil-snap', because: 'covered by plan B' }],
      },
    },
  ],
  outcomes: [
    {
      by: ASKER,
      at: at(40),
      outcome: { stage: 'operation', lens: { powerD: 9 }, complications: [], conversion: 'none' },
    },
  ],
}
