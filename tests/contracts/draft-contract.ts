import { describe, expect, it } from 'vitest'
import type { Draft } from '../../src/desk/store.js'
import { ASKER, at, CORNEA, PLACE, RETINA } from '../consult/invented-people.js'
import { inventedPlan } from './invented-plan.js'
import type { StoreBench } from './store-bench.js'
import { askedAs } from './store-contract-cases.js'

export function draftContract(bench: StoreBench): void {
  describe('a draft', () => {
    const draft: Draft = {
      id: 'd1',
      by: ASKER.id,
      place: PLACE,
      at: at(0),
      text: 'LE AL 29.60',
      case: inventedPlan().case,
      fingerprint: 'f1',
      blockedBy: [],
    }

    it('is kept with its text, its case and what tells its plan', async () => {
      await bench.bringAbout({ drafts: [{ change: 'put', draft }] })
      expect(await bench.store().view.draft('d1')).toEqual({ state: 'open', ...draft })
    })

    it('makes one consult, however often it is posted', async () => {
      await bench.bringAbout({ drafts: [{ change: 'put', draft }] })
      const first = askedAs('MARSH-7', 'Chop?')
      const second = askedAs('QUAY-2', 'Chop?')
      expect(await bench.bringAbout({ events: [first.event], drafts: [{ change: 'posted', id: 'd1', ref: 'MARSH-7' }] })).toBe(
        'committed',
      )
      expect(await bench.bringAbout({ events: [second.event], drafts: [{ change: 'posted', id: 'd1', ref: 'QUAY-2' }] })).toBe(
        'conflict',
      )
      expect(await bench.store().view.events('QUAY-2')).toEqual([])
      expect(await bench.store().view.draft('d1')).toEqual({
        state: 'posted',
        id: 'd1',
        by: ASKER.id,
        place: PLACE,
        ref: 'MARSH-7',
      })
    })

    it('keeps its text when it was set aside for correction, and nothing when it was cancelled', async () => {
      await bench.bringAbout({
        drafts: [
          { change: 'put', draft },
          { change: 'put', draft: { ...draft, id: 'd2' } },
        ],
      })
      await bench.bringAbout({
        drafts: [
          { change: 'corrected', id: 'd1' },
          { change: 'cancelled', id: 'd2' },
        ],
      })
      expect(await bench.store().view.draft('d1')).toMatchObject({ state: 'corrected', text: draft.text })
      expect(await bench.store().view.draft('d2')).toEqual({ state: 'cancelled', id: 'd2', by: ASKER.id, place: PLACE })
    })

    it('is found as the newest that its owner can still act on in that channel', async () => {
      const put = (id: string, changes: Partial<Draft> = {}) => ({ change: 'put', draft: { ...draft, id, ...changes } }) as const
      await bench.bringAbout({
        drafts: [put('d1'), put('d2'), put('d3', { place: { ...PLACE, channel: 'C2' } }), put('d4', { by: CORNEA.id })],
      })
      expect(await bench.store().view.newestDraft(ASKER.id, { ...PLACE, thread: 'any' })).toBe('d2')
      await bench.bringAbout({ drafts: [{ change: 'cancelled', id: 'd2' }] })
      expect(await bench.store().view.newestDraft(ASKER.id, PLACE)).toBe('d1')
      expect(await bench.store().view.newestDraft(RETINA.id, PLACE)).toBeUndefined()
    })

    it('whose case an earlier version read is given back without it', async () => {
      const earlier = { ...draft.case, sideOfTheEye: 'left' }
      await bench.bringAbout({ drafts: [{ change: 'put', draft: { ...draft, case: earlier } }] })
      const { case: _case, fingerprint: _fingerprint, ...kept } = draft
      expect(await bench.store().view.draft('d1')).toEqual({ state: 'outdated', ...kept })
    })

    it('that does not exist is not found', async () => {
      expect(await bench.store().view.draft('nowhere')).toBeUndefined()
    })
  })

  it('knows everybody who was heard of in a workspace, by the name they go by now and as they describe themselves', async () => {
    const { id, name } = CORNEA
    const view = () => bench.store().view
    await bench.bringAbout({
      heardOf: [
        { id, name: 'Alde' },
        { id: 'slack:T10:U1', name: 'Reed' },
      ],
    })
    await bench.bringAbout({ people: [CORNEA], heardOf: [{ id: RETINA.id, name: RETINA.name }] })
    await bench.bringAbout({
      heardOf: [
        { id, name },
        { id: 'web:abcdefgh12345678', name: 'Teal' },
      ],
    })
    expect(await view().people(PLACE)).toEqual([CORNEA, { id: RETINA.id, name: RETINA.name }])
    expect(await view().people({ ...PLACE, platform: 'teams' })).toEqual([])
    expect((await view().people({ platform: 'web', workspace: 'local', channel: 'page' })).map((one) => one.name)).toEqual([
      'Teal',
    ])
    expect(await view().person(id)).toEqual(CORNEA)
  })

  it('is spoken of in a chat of one’s own on Teams, whichever channel it is for; elsewhere in its own channel alone', async () => {
    const channel = { platform: 'teams', workspace: 'tenant', channel: '19:a@thread.tacv2' } as const
    const draft = {
      id: 'd1',
      by: ASKER.id,
      place: channel,
      at: at(0),
      text: 'LE',
      case: inventedPlan().case,
      fingerprint: 'f1',
      blockedBy: [],
    }
    await bench.bringAbout({ drafts: [{ change: 'put', draft }] })
    const newestAt = (place: string) => bench.store().view.newestDraft(ASKER.id, { ...channel, channel: place })
    expect(await newestAt('a:1personal')).toBe('d1')
    expect(await newestAt('19:b@thread.tacv2')).toBeUndefined()
    expect(await bench.store().view.newestDraft(CORNEA.id, { ...channel, channel: 'a:1personal' })).toBeUndefined()
  })

  it('remembers how people describe themselves', async () => {
    await bench.bringAbout({ people: [CORNEA] })
    await bench.bringAbout({ people: [{ ...CORNEA, field: 'cornea and lens' }] })
    expect(await bench.store().view.person(CORNEA.id)).toEqual({ ...CORNEA, field: 'cornea and lens' })
  })
}
