import { describe, expect, it } from 'vitest'
import type { Delivery, Inbound } from '../../src/desk/ports.js'
import { accept, receive } from '../../src/desk/receive.js'
import { CORNEA, PLACE } from '../consult/invented-people.js'
import { tap, text } from './desk-in-memory.js'

const TODAY = '2026-03-02'
const agree = { action: 'give-opinion', ref: 'MARSH-7', revision: 1, opinion: 'agree' } as const

describe('receiving', () => {
  it.each([
    'MARSH-7 agree but: stain the capsule',
    'me: consultant, cornea',
    'find staphyloma sub-Tenon',
    'post again MARSH-7',
    'Stop: detached retina',
    'LE 58M, AL 29.60, K1 42.10@95 K2 43.20@5; brown NO 5.2',
  ])('lets %j through as it is', (said) => {
    expect(receive(text(said), 'k1', TODAY)).toEqual({ key: 'k1', inbound: text(said) })
  })

  it('keeps of a text that may identify a patient only the kind and the place', () => {
    const said = 'LE AL 29.60\nDOB 03/04/1958'
    const { key, inbound } = receive(text(said, { by: CORNEA, addressed: false }), 'k1', TODAY)
    expect(key).toBe('k1')
    expect(inbound).toMatchObject({ kind: 'refused-identifiers', by: CORNEA, addressed: false })
    const found = inbound.kind === 'refused-identifiers' ? inbound.found : []
    expect(new Set(found.map(({ kind, line }) => `${kind} ${line}`))).toEqual(new Set(['date-of-birth 2']))
    expect(JSON.stringify(inbound)).not.toMatch(/1958|29\.60/)
  })

  it('looks at the sentence of an opinion too', () => {
    const inbound = receive(tap(agree, { by: CORNEA, sentence: 'ring 0161 496 0000 first' }), 'k1', TODAY).inbound
    expect(inbound).toMatchObject({ kind: 'refused-identifiers', addressed: true })
    expect(JSON.stringify(inbound)).not.toContain('496')
  })

  it('looks at every answer of a form, and at a message as it was edited', () => {
    const form = (values: Record<string, string>): Inbound => ({
      kind: 'form',
      form: 'task',
      about: { ref: 'MARSH-7' },
      values,
      by: CORNEA,
      place: PLACE,
      reply: {},
    })
    const dated = form({ what: 'B-scan', due: '2026-03-09', on: '2025-03-09' })
    expect(receive(dated, 'k1', TODAY).inbound).toEqual(dated)
    expect(receive(form({ what: 'ring 0161 496 0000' }), 'k1', TODAY).inbound).toMatchObject({
      kind: 'refused-identifiers',
      addressed: true,
    })
    expect(receive(form({ what: 'B-scan', due: '1958-04-03' }), 'k1', TODAY).inbound).toMatchObject({
      kind: 'refused-identifiers',
    })
    const edited = { kind: 'edited', message: 'm1', text: 'DOB 03/04/1958', by: CORNEA, place: PLACE, reply: {} } as const
    expect(receive(edited, 'k1', TODAY).inbound).toMatchObject({ kind: 'refused-identifiers', addressed: false })
  })

  it('has nothing to look at in a tap alone', () => {
    expect(receive(tap(agree), 'k1', TODAY).inbound).toEqual(tap(agree))
  })

  it('lets a form name colleagues, but not by a number or an address', () => {
    const answers = (values: Record<string, string>): Inbound => ({
      kind: 'form',
      form: 'ask',
      about: {},
      values,
      by: CORNEA,
      place: PLACE,
      reply: {},
    })
    const named = answers({ text: 'LE AL 29.60', asked: 'Odile Finch, Retina team', deputy: 'Rowan Vale, locum' })
    expect(receive(named, 'k1', TODAY).inbound).toEqual(named)
    for (const asked of ['Odile Finch, odile@finch.example', 'Odile Finch, DOB 03.02.1950'])
      expect(receive(answers({ asked }), 'k1', TODAY).inbound.kind).toBe('refused-identifiers')
    const teams = 'teams:aaaaaaaa-0000-4000-8000-000000000001:bbbbbbbb-0000-4000-8000-000000000002'
    const followed = answers({ follows: `${teams},web:e205ae7211579c7e, slack:T0001:U0002` })
    expect(receive(followed, 'k1', TODAY).inbound).toEqual(followed)
    expect(receive(answers({ follows: `${teams},0044 7700 900123` }), 'k1', TODAY).inbound.kind).toBe('refused-identifiers')
    expect(receive(answers({ text: 'Odile Finch, LE AL 29.60' }), 'k1', TODAY).inbound.kind).toBe('refused-identifiers')
  })

  it('leaves alone what was refused before', () => {
    const refused: Inbound = { kind: 'refused-identifiers', found: [], addressed: true, by: CORNEA, place: PLACE, reply: {} }
    expect(receive(refused, 'k1', TODAY).inbound).toBe(refused)
  })
})

describe('accepting', () => {
  const door = () => {
    const kept: Delivery[] = []
    let woken = 0
    return {
      kept,
      woken: () => woken,
      deps: {
        inbox: {
          put: async (delivery: Delivery) => {
            if (kept.some(({ key }) => key === delivery.key)) return 'duplicate' as const
            kept.push(delivery)
            return 'new' as const
          },
        },
        clock: { now: () => '2026-03-02T18:00:00.000Z' },
        wake: () => {
          woken += 1
        },
      },
    }
  }

  it('keeps a delivery before anybody is woken for it, and a second copy wakes nobody', async () => {
    const { kept, woken, deps } = door()
    const delivery = receive(text('hello'), 'k1', TODAY)
    expect(await accept(delivery, deps)).toBe('new')
    expect(await accept(delivery, deps)).toBe('duplicate')
    expect(kept).toHaveLength(1)
    expect(woken()).toBe(1)
  })

  it('fails when it could not be kept, so that the platform is not told otherwise', async () => {
    const { woken, deps } = door()
    const full = { ...deps, inbox: { put: () => Promise.reject(new Error('disk full')) } }
    await expect(accept(receive(text('hello'), 'k1', TODAY), full)).rejects.toThrow('disk full')
    expect(woken()).toBe(0)
  })
})
