import { readdirSync } from 'node:fs'
import { join } from 'node:path'
import { beforeAll, describe, expect, it } from 'vitest'
import { seniorReply } from '../../../src/cards/documents/document-input.js'
import { KIT, kitFor } from '../../../src/cards/documents/theatre-kit.js'
import { theatreSheet } from '../../../src/cards/documents/theatre-sheet.js'
import type { Plan } from '../../../src/plan/plan.js'
import { plainText } from '../../../src/views/plain.js'
import { ASKER, CORNEA } from '../../consult/invented-people.js'
import { DECIDED, LONG_BROWN_EYE, planOf, UNANSWERED } from './a-consult.js'

const textOf = (card: ReturnType<typeof theatreSheet>): string => plainText(card, { width: 10_000 })
const decidedOn = (powerD: number) =>
  DECIDED.decisions.map((made) => ({ ...made, decision: { ...made.decision, lens: { powerD }, lensBecause: 'stock' } }))

describe('the theatre sheet', () => {
  let plan: Plan
  beforeAll(async () => {
    plan = await planOf(LONG_BROWN_EYE)
  })

  it('leaves the patient label blank and asks for the original biometry', () => {
    const text = textOf(theatreSheet(DECIDED, plan))
    expect(text).toContain('Blank space for the patient label')
    expect(text).toContain('CHECK AGAINST THE ORIGINAL BIOMETRY')
  })

  it('has main, spare and backup lens, each with sign, place and availability', () => {
    const table = theatreSheet(DECIDED, plan)
      .sections.flatMap(({ blocks }) => blocks)
      .find((block) => block.kind === 'table')
    expect(table?.rows.map((row) => row.slice(1))).toEqual([
      ['+9.0 D (plus 9.0)', 'in the bag', 'not known: check the stock'],
      ['+9.0 D (plus 9.0)', 'in the bag', 'check that it is in the room'],
      ['+9.0 D (plus 9.0)', 'in the sulcus', 'in stock by the list'],
    ])
  })

  it('shows a minus power in word and sign', async () => {
    const minus = await planOf('LE, AL 34.50 optical, K1 44.00 K2 44.50, ACD 3.60, LT 4.60, target -1.00, A 118.9, consultant')
    const power = minus.lens.recommended?.powerD ?? 0
    expect(power).toBeLessThan(0)
    expect(textOf(theatreSheet(UNANSWERED, minus))).toContain(
      `−${Math.abs(power).toFixed(1)} D (minus ${Math.abs(power).toFixed(1)})`,
    )
  })

  it('takes the decided power, says that it is not the recommended one, and never lends it the availability of the other', () => {
    const text = textOf(theatreSheet({ ...DECIDED, decisions: decidedOn(8.5) }, plan))
    expect(text).toContain('The plan recommends +9.0 D (plus 9.0); the decision says +8.5 D (plus 8.5)')
    expect(text).toContain('not looked up: check')
    expect(text).not.toContain('leaves −1.75')
    expect(text).toContain('Two read lens model, +8.5 D')
  })

  it('says what to prepare where no lens is known', async () => {
    const without = await planOf('LE, AL 29.60 optical, brown, registrar')
    const text = textOf(theatreSheet(UNANSWERED, without))
    expect(text).toContain('NONE')
    expect(text).toContain('NO POWER YET')
    expect(text).toContain('No lens power: ')
  })

  it('shouts when the eye was not stated', async () => {
    const eyeless = await planOf(LONG_BROWN_EYE.replace('LE ', ''))
    expect(textOf(theatreSheet(UNANSWERED, eyeless))).toContain('EYE NOT STATED')
  })

  it('says that no senior has replied, or that none is known to have, or nothing', () => {
    const { grade: _, ...ungraded } = CORNEA
    expect(seniorReply([])).toBe('none')
    expect(seniorReply([{ by: ASKER }])).toBe('none')
    expect(seniorReply([{ by: ASKER }, { by: ungraded }])).toBe('not-known')
    expect(seniorReply([{ by: ungraded }, { by: CORNEA }])).toBe('replied')
    const sheet = (opinions: typeof DECIDED.opinions): string => textOf(theatreSheet({ ...DECIDED, opinions }, plan))
    expect(sheet([])).toContain('NO SENIOR HAS REPLIED')
    expect(sheet(DECIDED.opinions.map((one) => ({ ...one, by: ungraded })))).toContain('NO SENIOR IS KNOWN TO HAVE REPLIED')
    expect(sheet(DECIDED.opinions)).not.toContain('NO SENIOR')
  })

  it('names the deputy who was asked in the silence', () =>
    expect(textOf(theatreSheet({ ...UNANSWERED, deputyAsked: { deputy: 'Rowan', at: 'x' } }, plan))).toContain(
      'Rowan was asked as deputy.',
    ))

  it('leaves lines to write on where nothing was decided', () => {
    const text = textOf(theatreSheet(UNANSWERED, plan))
    expect(text).toContain('NOT DECIDED YET')
    expect(text).toContain('Plan B: ____')
  })

  it('keeps the precautions in the order of the operation, critical ones by that word', () => {
    const text = textOf(theatreSheet(DECIDED, plan))
    const places = ['assessment', 'viscoelastic', 'hydrodissection', 'nucleus', 'lens', 'aftercare'].map((step) =>
      text.search(new RegExp(`\\[[A-Z]+\\] ${step}: `)),
    )
    expect(places.every((place) => place > 0)).toBe(true)
    expect(places).toEqual([...places].sort((one, other) => one - other))
    expect(text).toContain('[CRITICAL] hydrodissection: If the pupil snaps')
    expect(text).toContain('Set aside by the surgeon: covered by plan B')
  })

  it('has the open tasks to tick, and not those done', () => {
    const text = textOf(theatreSheet(DECIDED, plan))
    expect(text).toContain('☐ T1 B-scan by the retina team')
    expect(text).not.toContain('T2 ')
  })

  // National Patient Safety Agency and Royal College of Ophthalmologists, Surgical Safety Checklist for cataract surgery only, 2010:
  // sign in before anaesthesia, time out before the incision, sign out before the patient leaves; lens model, power and
  // predicted refraction at the time out. Read in the announcement of the checklist.
  it('has the three pauses of the published checklist with the lens read at the time out', () => {
    const text = textOf(theatreSheet(DECIDED, plan))
    const [signIn, timeOut, signOut] = [
      'SIGN IN, before anaesthesia',
      'TIME OUT, before the incision',
      'SIGN OUT, before the patient leaves',
    ].map((pause) => text.indexOf(pause))
    expect([signIn, timeOut, signOut]).not.toContain(-1)
    const read = text.indexOf('Two read lens model, +9.0 D and target −1.75 D from the original sheet')
    expect(read).toBeGreaterThan(timeOut ?? 0)
    expect(read).toBeLessThan(signOut ?? 0)
  })
})

describe('the kit list', () => {
  let plan: Plan
  beforeAll(async () => {
    plan = await planOf(LONG_BROWN_EYE)
  })

  it('is called for by rules that exist', () => {
    const folder = new URL('../../../rules', import.meta.url).pathname
    const ids = new Set(
      readdirSync(folder, { withFileTypes: true })
        .filter((entry) => entry.isDirectory())
        .flatMap(({ name }) => readdirSync(join(folder, name)).map((file) => file.replace('.json', ''))),
    )
    expect(ids.size).toBeGreaterThan(100)
    expect(KIT.flatMap(({ rules }) => rules).filter((id) => !ids.has(id))).toEqual([])
  })

  it('holds what fires for this eye and keeps apart what an unstated fact may call for', () => {
    const { have, settle } = kitFor(plan)
    expect(have).toContain('Vitrector, set up and tested')
    expect(have).toContain('Capsule stain')
    expect(have).not.toContain('Phenylephrine for the chamber')
    expect(settle).toContain('Phenylephrine for the chamber (alpha blocker?)')
  })

  it('moves a thing to the list once the fact is stated', async () => {
    const { have, settle } = kitFor(await planOf(`${LONG_BROWN_EYE}; tamsulosin`))
    expect(have).toContain('Phenylephrine for the chamber')
    expect(settle.join()).not.toContain('Phenylephrine')
  })

  it('asks for nothing special where nothing fires', () => {
    const none = kitFor({ ...plan, precautions: [], case: { notUnderstood: [] } })
    expect(none).toEqual({ have: [], settle: [] })
  })
})
