import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { openSqliteStore } from '../../../adapters/store/sqlite/open.js'
import { dayIn, departmentTime, timeOf } from '../../../adapters/workers/department-time.js'
import { handleNext } from '../../../adapters/workers/inbox-work.js'
import { remindNext } from '../../../adapters/workers/reminder-work.js'
import type { Inbound } from '../../../src/desk/ports.js'
import { remind } from '../../../src/desk/remind.js'
import { type DeskView, NO_EFFECTS, type Store } from '../../../src/desk/store.js'
import { askedAs, said } from '../../contracts/store-contract-cases.js'
import { deskInMemory } from '../../desk/desk-in-memory.js'
import { silent } from './outbox-bench.js'

const START = '2026-03-02T18:00:00.000Z'
const DUE = '2026-03-03T18:00:00.000Z'
const DEPARTMENT = departmentTime('UTC', 'off')

let folder: string
let store: Store
let now: string
const path = () => join(folder, 'trail.db')
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'reminders-'))
  store = await openSqliteStore(path(), START)
  now = START
})
afterEach(async () => {
  await store.close()
  rmSync(folder, { recursive: true })
})

async function ask(): Promise<void> {
  const { event, plan } = askedAs('MARSH-7', 'Chop?')
  await store.inbox.put({ key: 'k', inbound: said('x') }, now)
  const waiting = await store.inbox.next(now)
  const asked = { ...event, answerBy: DUE, deputy: 'Sorrel' }
  await store.inbox.commit(waiting?.seq ?? 0, { ...NO_EFFECTS, events: [asked], plans: [plan] }, now)
}
const clock = { now: () => now }
const look = () =>
  remindNext({
    reminding: store.reminding,
    view: store.view,
    accept: (delivery) => store.inbox.put(delivery, now),
    department: DEPARTMENT,
    personNamed: async (name) => (name === 'Sorrel' ? 'slack:T1:U3' : undefined),
    clock,
    log: silent,
  })()
const { deps } = deskInMemory()
const handle = (inbound: Inbound, view: DeskView) => {
  if (inbound.kind !== 'reminder') throw new Error('only reminders are handled here')
  return remind(inbound, view, { ...deps, clock })
}
const work = () =>
  handleNext({ inbox: store.inbox, view: store.view, handle, clock, log: silent, errorRef: () => 'E', committed() {} })
const types = async () => (await store.view.events('MARSH-7')).map(({ type }) => type)

describe('reminders', () => {
  it('fall due once, and are sent once however often and by however many they are looked for', async () => {
    await ask()
    await look()
    expect(await store.reminding.nextDue()).toBe(DUE)
    expect(await work()).toBe(false)
    now = DUE
    await look()
    await store.reminding.lookNext('MARSH-7', 1, DUE)
    await look()
    expect(await work()).toBe(true)
    expect(await work()).toBe(false)
    expect(await types()).toEqual(['consult-asked', 'deputy-asked', 'reminder-sent'])
    now = '2026-03-09T18:00:00.000Z'
    await look()
    expect(await work()).toBe(false)
    expect(await store.reminding.nextDue()).toBeUndefined()
  })

  it('go to the person whom a name means, by their own clock', async () => {
    await ask()
    const settings = { id: 'slack:T1:U3', reminders: true, quiet: { from: '17:00', to: '19:00' } }
    await store.inbox.put({ key: 'set', inbound: said('x') }, now)
    const waiting = await store.inbox.next(now)
    await store.inbox.commit(waiting?.seq ?? 0, { ...NO_EFFECTS, settings: [settings] }, now)
    now = DUE
    await look()
    expect(await work()).toBe(false)
    now = '2026-03-03T19:00:00.000Z'
    await store.reminding.lookNext('MARSH-7', 1, now)
    await look()
    expect((await store.inbox.next(now))?.inbound).toMatchObject({ kind: 'reminder', to: ['slack:T1:U3'] })
  })

  it('survive a restart between falling due and being sent, and one after', async () => {
    await ask()
    now = DUE
    await look()
    await store.close()
    store = await openSqliteStore(path(), now)
    expect(await work()).toBe(true)
    await store.close()
    store = await openSqliteStore(path(), now)
    await look()
    expect(await work()).toBe(false)
    expect((await types()).filter((type) => type === 'reminder-sent')).toHaveLength(1)
  })
})

describe('a person’s time', () => {
  it('is that of their own zone, daylight saving included, else the department’s', () => {
    const london = departmentTime('Europe/London', '20:00-07:00')
    expect(timeOf(undefined, london, '2026-01-10T12:00:00.000Z')).toEqual({
      offsetMinutes: 0,
      reminders: true,
      quiet: { fromMinute: 1200, toMinute: 420 },
    })
    expect(timeOf(undefined, london, '2026-07-10T12:00:00.000Z').offsetMinutes).toBe(60)
    const own = { id: 'x', reminders: false, zone: 'Asia/Kolkata', quiet: { from: '22:30', to: '06:00' } }
    expect(timeOf(own, london, '2026-07-10T12:00:00.000Z')).toEqual({
      offsetMinutes: 330,
      reminders: false,
      quiet: { fromMinute: 1350, toMinute: 360 },
    })
    expect(timeOf({ ...own, zone: 'No/Where' }, london, '2026-07-10T12:00:00.000Z').offsetMinutes).toBe(60)
  })

  it('says which day it is there', () => {
    expect([dayIn('Pacific/Auckland', '2026-03-02T18:00:00.000Z'), dayIn('UTC', '2026-03-02T18:00:00.000Z')]).toEqual([
      '2026-03-03',
      '2026-03-02',
    ])
  })
})
