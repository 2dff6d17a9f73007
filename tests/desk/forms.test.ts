import { describe, expect, it } from 'vitest'
import { readChoiceAction } from '../../src/cards/choice-action.js'
import { FORM_IDS, type FormAbout, type FormId } from '../../src/cards/form.js'
import { formFor } from '../../src/desk/form-for.js'
import { formFaults } from '../../src/desk/form-values.js'
import { understand } from '../../src/intake/understand.js'
import { ASKER, CORNEA, PLACE } from '../consult/invented-people.js'
import { inventedPlan } from '../contracts/invented-plan.js'
import { answerCard, answered, deskInMemory, tap, text } from './desk-in-memory.js'

const CASE = 'LE, AL 29.60 optical, staphyloma; surgery 2026-03-09\nQ: chop or manual?'
const desk = () => deskInMemory({ understand, makePlan: async (given) => ({ ...inventedPlan(), case: given }) })
async function asked() {
  const here = desk()
  await here.handle(text(CASE))
  await here.handle(text('post'))
  return here
}
type Desk = ReturnType<typeof desk>
const open = (here: Desk, form: FormId, about: FormAbout, by = ASKER) =>
  formFor(form, about, { by, place: PLACE }, here.view, here.deps)
const send = (here: Desk, form: FormId, about: FormAbout, values: Record<string, string>, by = ASKER) =>
  here.handle({ kind: 'form', form, about, values, by, place: PLACE, reply: {} })

describe('every form', () => {
  it('fits where it is shown, and its fields are named once', async () => {
    const here = await asked()
    await here.handle(text('MARSH-7 need: B-scan', { by: CORNEA }))
    for (const id of FORM_IDS) {
      const form = await open(here, id, id === 'ask' ? {} : { ref: 'MARSH-7' })
      if (!form) throw new Error(`${id} opens`)
      expect([form.title.length <= 24, form.submit.length <= 24], id).toEqual([true, true])
      expect(
        form.fields.filter(({ label }) => label.length > 75),
        id,
      ).toEqual([])
      expect(new Set(form.fields.map((field) => field.id)).size, id).toBe(form.fields.length)
      for (const field of form.fields) {
        if (field.kind === 'choice' && field.value !== undefined)
          expect(
            field.options?.map(({ value }) => value),
            field.id,
          ).toContain(field.value)
      }
    }
  })

  it('is not opened on a consult that is not known here', async () => {
    expect(await open(await asked(), 'decide', { ref: 'QUAY-2' })).toBeUndefined()
    expect(await open(await asked(), 'decide', {})).toBeUndefined()
  })

  it('that an old button cannot open is told as what to type', async () => {
    const here = await asked()
    expect(answered(await here.handle(tap({ action: 'open-form', form: 'change', ref: 'MARSH-7' })))).toContain(
      'change: AL 29.70',
    )
  })

  it('is asked for by a button that is read back as it was', () => {
    for (const does of [
      { action: 'open-form', form: 'ask' },
      { action: 'open-form', form: 'opinion', ref: 'MARSH-7', revision: 2 },
      { action: 'task-done', ref: 'MARSH-7', task: 'T12' },
      { action: 'reveal', ref: 'MARSH-7' },
    ])
      expect(readChoiceAction(JSON.stringify(does))).toEqual(does)
    expect(readChoiceAction('{"action":"task-done","ref":"MARSH-7","task":"12"}')).toBeUndefined()
  })
})

describe('asking by form', () => {
  it('is filled with what was pasted, previews it, and posts it as it was to be put', async () => {
    const here = desk()
    await here.handle(text(CASE))
    const form = await open(here, 'ask', { draftId: 'd1' })
    expect(form?.fields.find(({ id }) => id === 'text')?.value).toBe(CASE)
    expect(form?.fields.find(({ id }) => id === 'surgeryDate')?.value).toBe('2026-03-09')
    const preview = await send(
      here,
      'ask',
      { draftId: 'd1' },
      { text: CASE, asked: 'Alder, Sorrel', urgency: 'this-week', hideUntil: '2', channel: 'C9' },
    )
    expect(preview.events).toEqual([])
    expect(preview.drafts).toMatchObject([
      { change: 'corrected', id: 'd1' },
      { change: 'put', draft: { place: { channel: 'C9' } } },
    ])
    const posted = await here.handle(tap({ action: 'post-draft', draftId: 'd2' }))
    expect(posted.events).toMatchObject([
      { place: { ...PLACE, channel: 'C9' }, asked: ['Alder', 'Sorrel'], urgency: 'this-week', hideUntil: 2 },
    ])
    expect(posted.events[0]).not.toHaveProperty('elsewhere')
  })

  it('shows nothing of a draft of somebody else', async () => {
    const here = desk()
    await here.handle(text(CASE))
    expect((await open(here, 'ask', { draftId: 'd1' }, CORNEA))?.fields.find(({ id }) => id === 'text')?.value).toBeUndefined()
  })
})

describe('an opinion by form', () => {
  it('carries steps, a sentence and what would change the mind, and comes back filled', async () => {
    const here = await asked()
    const values = {
      opinion: 'agree-with-changes',
      sentence: 'a ring',
      steps: 'capsulorhexis,lens',
      wouldChangeMind: 'strong zonules',
    }
    const effects = await send(here, 'opinion', { ref: 'MARSH-7', revision: 1 }, values, CORNEA)
    expect(effects.events).toMatchObject([
      {
        opinion: {
          kind: 'agree-with-changes',
          steps: ['capsulorhexis', 'lens'],
          sentence: 'a ring',
          wouldChangeMind: 'strong zonules',
        },
      },
    ])
    const form = await open(here, 'opinion', { ref: 'MARSH-7' }, CORNEA)
    expect(form?.fields.map(({ value }) => value)).toEqual([
      'agree-with-changes',
      'a ring',
      'capsulorhexis,lens',
      'strong zonules',
    ])
    const card = answerCard(await here.handle(text('MARSH-7')))
    expect(JSON.stringify(card?.first)).toContain('strong zonules')
  })
})

describe('an outcome by form', () => {
  it('is recorded with its signed numbers, none told from not stated', async () => {
    const here = await asked()
    const values = {
      stage: 'operation',
      on: '2026-03-09',
      lens: '+9.0',
      lensLabel: 'Quay-1',
      complications: 'none',
      ultrasoundSeconds: '45',
      note: 'long',
    }
    const effects = await send(here, 'outcome', { ref: 'MARSH-7' }, values)
    expect(effects.events).toMatchObject([
      {
        outcome: {
          stage: 'operation',
          on: '2026-03-09',
          lens: { powerD: 9, label: 'Quay-1' },
          complications: [],
          energy: { ultrasoundSeconds: 45 },
          note: 'long',
        },
      },
    ])
    expect(answered(effects)).toContain('+9.0 D (plus 9.0)')
    const sparse = await send(here, 'outcome', { ref: 'MARSH-7' }, { stage: 'first-weeks' })
    expect(sparse.events).toEqual([expect.objectContaining({ outcome: { stage: 'first-weeks' } })])
  })
})

describe('a task and a change by form', () => {
  it('do what their typed forms do', async () => {
    const here = await asked()
    expect(
      (await send(here, 'task', { ref: 'MARSH-7' }, { what: 'cell count', owner: 'Alder', due: '2026-03-06' })).events,
    ).toMatchObject([{ type: 'task-opened', what: 'cell count', owner: 'Alder', due: '2026-03-06' }])
    expect((await send(here, 'change', { ref: 'MARSH-7' }, { items: 'AL 29.70\nno staphyloma' })).events).toMatchObject([
      { type: 'consult-revised', changed: ['Axial length: 29.60 mm → 29.70 mm', 'Posterior staphyloma: present → absent'] },
    ])
  })
})

describe('what is wrong with an answer', () => {
  it.each([
    ['decide', { planA: 'chop', operates: 'me', lens: '9' }, 'lens'],
    ['decide', { operates: 'me' }, 'planA'],
    ['decide', { planA: 'a', planB: 'b', operates: 'me' }, 'trigger'],
    ['outcome', { stage: 'operation', refraction: '1.5' }, 'refraction'],
    ['outcome', { stage: 'operation', on: '9 March' }, 'on'],
    ['outcome', { stage: 'operation', pressureMmHg: 'high' }, 'pressureMmHg'],
    ['outcome', { stage: 'operation', complications: 'none,vitreous-loss' }, 'complications'],
    ['task', {}, 'what'],
    ['opinion', {}, 'opinion'],
  ] as const)('in %s %j is said beside %s', (form, values, field) => {
    expect(Object.keys(formFaults(form, values))).toEqual([field])
  })

  it('is nothing where all is well', () => {
    expect(formFaults('decide', { planA: 'chop', operates: 'me', lens: '\u22129.0' })).toEqual({})
  })
})
