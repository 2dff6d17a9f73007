import { expect, it } from 'vitest'
import { noteCard } from '../../src/cards/short-cards.js'
import { at, PLACE } from '../consult/invented-people.js'
import { agreed, type StoreBench } from './store-bench.js'

const SCOPE = { platform: 'slack', workspace: 'T1' } as const
const EVERYTHING = { platform: 'slack', kind: 'part', heldChannels: [] } as const
const LATER = '2026-03-02T23:00:00.000Z'
const closedEvent = (ref: string) => ({ type: 'consult-closed', by: agreed(ref).by, at: at(6), ref }) as const

/** What a consult's life asks of every store: what is open, what a person wants, when to look for reminders, notes in threads. */
export function lifeContract({ store, ask, bringAbout }: StoreBench): void {
  it('lists the consults that still wait for something, newest first, within one workspace', async () => {
    await ask('MARSH-7', 'Chop?', { at: at(1) })
    await ask('QUAY-2', 'Ring?', { at: at(2) })
    await ask('HEATH-4', 'Where?', { at: at(3), place: { ...PLACE, workspace: 'T2' } })
    expect(await store().view.open(SCOPE, 10)).toEqual(['QUAY-2', 'MARSH-7'])
    expect(await bringAbout({ events: [closedEvent('QUAY-2')], expected: 1 })).toBe('committed')
    expect(await store().view.open(SCOPE, 10)).toEqual(['MARSH-7'])
    expect(await store().view.open('everything', 1)).toEqual(['HEATH-4'])
  })

  it('keeps what a person wants of reminders', async () => {
    const settings = { id: 'slack:T1:U2', reminders: true, zone: 'Europe/London', quiet: { from: '20:00', to: '07:00' } }
    expect(await store().view.settings(settings.id)).toBeUndefined()
    await bringAbout({ settings: [settings] })
    expect(await store().view.settings(settings.id)).toEqual(settings)
    await bringAbout({ settings: [{ id: settings.id, reminders: false }] })
    expect(await store().view.settings(settings.id)).toEqual({ id: settings.id, reminders: false })
  })

  it('has each changed consult looked at for reminders, and again only when that was said', async () => {
    const { reminding } = store()
    await ask('MARSH-7')
    expect(await reminding.due(LATER, 10)).toEqual(['MARSH-7'])
    await reminding.lookNext('MARSH-7', 1, '2026-03-05T18:00:00.000Z')
    expect([await reminding.due(LATER, 10), await reminding.nextDue()]).toEqual([[], '2026-03-05T18:00:00.000Z'])
    await bringAbout({ events: [agreed('MARSH-7')], expected: 1 })
    expect(await reminding.due(LATER, 10)).toEqual(['MARSH-7'])
    // Worked out before that answer: it counts no more.
    await reminding.lookNext('MARSH-7', 1, undefined)
    expect(await reminding.due(LATER, 10)).toEqual(['MARSH-7'])
    await reminding.lookNext('MARSH-7', 2, undefined)
    expect([await reminding.due(LATER, 10), await reminding.nextDue()]).toEqual([[], undefined])
  })

  it('sends a note of a thread once, under the card that it belongs to', async () => {
    await ask('MARSH-7')
    const note = { kind: 'thread-note', ref: 'MARSH-7', place: PLACE, card: noteCard('changed'), mentions: ['Alder'] } as const
    await bringAbout({ outbound: [{ kind: 'consult-card', ref: 'MARSH-7', place: PLACE }, note] })
    const { outbox } = store()
    const card = await outbox.next(LATER, EVERYTHING)
    await outbox.settle(card?.seq ?? 0, { state: 'sent', message: 'm1', desired: 1 }, at(2))
    const next = await outbox.next(LATER, EVERYTHING)
    expect(next).toMatchObject({ kind: 'note', step: 'post', root: 'm1', outbound: note })
    await outbox.settle(next?.seq ?? 0, { state: 'unknown', lookAt: at(3), because: 'no answer' }, at(2))
    expect(await outbox.next(LATER, EVERYTHING)).toMatchObject({ kind: 'note', step: 'look' })
    await outbox.settle(next?.seq ?? 0, { state: 'sent', message: 'm2' }, at(4))
    expect(await outbox.next(LATER, EVERYTHING)).toBeUndefined()
    expect(await store().view.consultInThread({ ...PLACE, thread: 'm2' })).toBeUndefined()
  })
}
