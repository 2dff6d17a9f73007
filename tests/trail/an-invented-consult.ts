import { readGround } from '../../adapters/ground.js'
import type { ConsultEvent } from '../../src/consult/events.js'
import { understand } from '../../src/intake/understand.js'
import { makePlan } from '../../src/plan/make-plan.js'
import type { Plan } from '../../src/plan/plan.js'
import { contentHash } from '../../src/trail/chain.js'
import { searchWords } from '../../src/trail/words.js'
import { ASKER, CORNEA, PLACE, RETINA } from '../consult/invented-people.js'

const CASE = `LE 91M, AL 29.60 optical SD 0.02, SNR 110, K1 42.10@95 K2 43.20@5, ACD 3.45, LT 4.90, WTW 12.1, CCT 548
brown NO 5.2; ECD 2180; IOP 16; VA 6/60; refraction -18.00/-1.00x95; no fundal view, B-scan flat; no PXF
fellow eye pseudophakic -1.50; target -1.75; A 118.9; registrar; sub-Tenon
? =Chop, or plan a manual extraction?`

/** A whole plan from an invented message. */
export async function inventedWholePlan(message: string): Promise<Plan> {
  const read = await readGround({}, 'allowed')
  if ('faults' in read) throw new Error(read.faults.join('\n'))
  const understood = understand(message, { today: '2026-03-02', lensLabels: [] })
  if (understood.kind !== 'case') throw new Error('the invented message was not read as a case')
  return makePlan(understood.case, read.ground)
}

/** An invented consult from asking to outcome: revised, answered, commented, decided, operated. */
export async function inventedConsult(): Promise<{ readonly events: readonly ConsultEvent[]; readonly plans: readonly Plan[] }> {
  const first = await inventedWholePlan(CASE)
  const second = await inventedWholePlan(CASE.replace('AL 29.60', 'AL 29.84'))
  const ref = 'MARSH-7'
  const at = (day: string) => `2026-03-${day}T18:00:00.000Z`
  const hashed = (plan: Plan) => ({ planHash: contentHash(plan), words: searchWords(plan) })
  const question = '=Chop, or plan a manual extraction?'
  const events: readonly ConsultEvent[] = [
    { type: 'consult-asked', by: ASKER, at: at('02'), ref, place: PLACE, ...hashed(first), question },
    {
      type: 'opinion-given',
      by: CORNEA,
      at: at('03'),
      ref,
      revision: 1,
      opinion: { kind: 'agree-with-changes', steps: ['capsulorhexis'], sentence: 'stain it, "then" chop' },
    },
    {
      type: 'consult-revised',
      by: ASKER,
      at: at('03'),
      ref,
      revision: 2,
      ...hashed(second),
      question,
      changed: ['Axial length 29.60 mm is now 29.84 mm.'],
    },
    { type: 'opinion-given', by: RETINA, at: at('04'), ref, revision: 2, opinion: { kind: 'agree', steps: [] } },
    { type: 'comment-made', by: RETINA, at: at('04'), ref, text: 'flat on B-scan', message: 'm1' },
    { type: 'comment-made', by: RETINA, at: at('04'), ref, text: 'said in the wrong thread', message: 'm2' },
    { type: 'comment-deleted', by: RETINA, at: at('04'), ref, message: 'm2' },
    {
      type: 'task-opened',
      by: ASKER,
      at: at('04'),
      ref,
      task: 'T1',
      what: 'Repeat the B-scan',
      owner: 'Sorrel',
      due: '2026-03-06',
      from: 'gap',
    },
    { type: 'task-done', by: RETINA, at: at('05'), ref, task: 'T1', result: 'no detachment' },
    {
      type: 'consult-decided',
      by: ASKER,
      at: at('06'),
      ref,
      revision: 2,
      decision: {
        planA: 'Chop under a dispersive shield',
        planB: 'Manual extraction',
        trigger: 'the nucleus does not part',
        operates: 'Alder',
        lens: { powerD: -2.5 },
        follows: ['Alder'],
        departs: [],
        overrides: second.precautions
          .filter(({ finding, indicator, place }) => finding === 'fires' && indicator === 'critical' && place === 'eye')
          .slice(0, 1)
          .map(({ id }) => ({ precaution: id, because: 'done before in the other eye' })),
      },
    },
    {
      type: 'outcome-recorded',
      by: ASKER,
      at: '2026-04-20T18:00:00.000Z',
      ref,
      outcome: {
        stage: 'four-to-six-weeks',
        on: '2026-04-13',
        lens: { powerD: -2.5 },
        refractionD: -1.25,
        acuity: '6/9',
        complications: [],
        conversion: 'none',
        endothelialCellsPerMm2: 1900,
        pressureMmHg: 14,
        note: 'content',
      },
    },
  ]
  return { events, plans: [first, second] }
}
