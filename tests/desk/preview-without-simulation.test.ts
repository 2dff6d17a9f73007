import { beforeAll, describe, expect, it } from 'vitest'
import { readGround } from '../../adapters/ground.js'
import { previewCard } from '../../src/cards/preview-card.js'
import { understand } from '../../src/intake/understand.js'
import { type PlanGround, plansOn } from '../../src/plan/make-plan.js'
import type { Plan } from '../../src/plan/plan.js'
import { deskInMemory, tap, text } from './desk-in-memory.js'

const LONG_EYE = `LE 58M, AL 29.60 optical SD 0.02, K1 42.10@95 K2 43.20@5, ACD 3.45, LT 4.90, WTW 12.1, CCT 548
brown NO 5.2; ECD 2180; no fundal view, B-scan flat; fellow eye pseudophakic -1.50; target -1.75; A 118.9; registrar; ? chop`
const ORDINARY_EYE = 'RE 71F, AL 23.40 optical, K1 43.5 K2 44.1, ACD 3.1; NO 3; target -0.25; A 119.0; consultant; ? lens'
const SHORT_EYE = 'RE 66F, AL 20.60, K1 46.0@10 K2 46.4@100, ACD 2.3, LT 5.1; NO 4; target plano; A 118.7; registrar; ? lens'

function withoutSimulation(plan: Plan): Plan {
  const { forecast } = plan.lens
  if (forecast === undefined) throw new Error('this eye has no forecast')
  const { simulated: _simulated, ...others } = forecast
  return { ...plan, lens: { ...plan.lens, forecast: others } }
}

describe('a preview does not wait for the simulated operations', () => {
  let ground: PlanGround
  beforeAll(async () => {
    const read = await readGround({}, 'allowed')
    if ('faults' in read) throw new Error(read.faults.join('\n'))
    ground = read.ground
  })

  it.each([LONG_EYE, ORDINARY_EYE, SHORT_EYE])(
    'of which it shows nothing, and on which nothing else of its plan stands: %s',
    async (message) => {
      const understood = understand(message, { today: '2026-11-24', lensLabels: [], hasPicture: false })
      if (understood.kind !== 'case') throw new Error(understood.kind)
      const whole = await plansOn(ground)(understood.case)
      const shown = await plansOn(ground)(understood.case, { simulated: false })
      expect(whole.lens.forecast?.simulated?.draws).toBe(10_000)
      expect(shown).toEqual(withoutSimulation(whole))
      const { items, problems } = understood
      const card = (plan: Plan) => previewCard({ items, problems, plan, draftId: 'd1', canPost: true })
      expect(card(shown)).toEqual(card(whole))
    },
  )

  it('and what is posted has them', async () => {
    const desk = deskInMemory({ understand, makePlan: plansOn(ground) })
    const asked = await desk.handle(text(LONG_EYE))
    expect(asked.plans).toEqual([])
    const posted = await desk.handle(tap({ action: 'post-draft', draftId: 'd1' }))
    expect(posted.plans[0]?.plan.lens.forecast?.simulated?.draws).toBe(10_000)
  })
})
