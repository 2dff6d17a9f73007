import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Sqlite from 'better-sqlite3'
import { openKeeping, openStore } from '../../adapters/store/open.js'
import { erasableOf, erase, setHold } from '../../adapters/store/record-keeping.js'
import { packText, unpackText } from '../../adapters/store/text-packing.js'
import { type Draft, type Effects, NO_EFFECTS, type Store } from '../../src/desk/store.js'
import { contentHash } from '../../src/trail/chain.js'
import { ASKER, at, CORNEA, PLACE, RETINA } from '../consult/invented-people.js'
import { inventedPlan } from '../contracts/invented-plan.js'
import { askedAs, said } from '../contracts/store-contract-cases.js'

/** Folders for trails in files, taken away by `clear`. */
export function trailFolder() {
  const folder = mkdtempSync(join(tmpdir(), 'soundings-trail-'))
  let files = 0
  return {
    folder,
    freshPath: () => {
      files += 1
      return join(folder, `n${files}`, 'trail.db')
    },
    clear: () => rmSync(folder, { recursive: true }),
  }
}

export const BROWN_QUESTION = 'Chop, or plan a manual extraction?'

async function bringAbout(store: Store, key: string, effects: Partial<Effects>): Promise<void> {
  await store.inbox.put({ key, inbound: said('x') }, at(0))
  const waiting = await store.inbox.next(at(59))
  if (!waiting) throw new Error('the delivery of this test is waiting')
  if ((await store.inbox.commit(waiting.seq, { ...NO_EFFECTS, ...effects }, at(1))) !== 'committed')
    throw new Error('not committed')
}

const draft = (id: string): Draft => ({
  id,
  by: ASKER.id,
  place: PLACE,
  at: at(0),
  text: 'LE AL 29.60',
  case: inventedPlan().case,
  fingerprint: 'f1',
  blockedBy: [],
})

/** The same consult with a plan so unlike the others that the order of its pieces is kept by itself. */
function withManyPrecautions({ event, plan: { plan } }: ReturnType<typeof askedAs>): ReturnType<typeof askedAs> {
  const precautions = Array.from({ length: 300 }, (_, index) =>
    plan.precautions.map((one) => ({ ...one, id: `invented-${index}`, text: `Invented precaution ${index}.` })),
  ).flat()
  const longer = { ...plan, precautions }
  const hash = contentHash(longer)
  return { event: { ...event, planHash: hash } as typeof event, plan: { hash, plan: longer } }
}

/** An invented trail in which every table holds something: three consults, answers, erased texts and an erased plan, drafts, messages. */
export async function writeTrail(url: string, secret?: string): Promise<void> {
  const store = await openStore(url, at(0), secret)
  await bringAbout(store, 'drafts', {
    drafts: [
      { change: 'put', draft: draft('d1') },
      // Made after every consult: the previews from before one go when its plan is erased.
      { change: 'put', draft: { ...draft('d2'), at: '2026-03-20T09:00:00.000Z' } },
    ],
  })
  const marsh = askedAs('MARSH-7', BROWN_QUESTION)
  await bringAbout(store, 'marsh', {
    events: [marsh.event],
    plans: [marsh.plan],
    drafts: [{ change: 'posted', id: 'd1', ref: 'MARSH-7' }],
    outbound: [{ kind: 'consult-card', ref: 'MARSH-7', place: PLACE, tell: { to: ASKER, place: PLACE, reply: {} } }],
    people: [CORNEA, RETINA],
  })
  const quay = askedAs('QUAY-2', '=Ring, or not?', { axialLengthMm: 21.4, at: '2026-03-05T09:00:00.000Z' })
  await bringAbout(store, 'quay', {
    events: [quay.event],
    plans: [quay.plan],
    outbound: [{ kind: 'consult-card', ref: 'QUAY-2', place: PLACE }],
  })
  await bringAbout(store, 'opinion', {
    expected: 1,
    events: [
      {
        type: 'opinion-given',
        by: CORNEA,
        at: at(9),
        ref: 'MARSH-7',
        revision: 1,
        opinion: { kind: 'agree-with-changes', steps: ['capsulorhexis', 'nucleus'], sentence: 'stain it,\u2028then "chop"' },
      },
      { type: 'comment-made', by: RETINA, at: '2026-03-04T08:00:00.000Z', ref: 'MARSH-7', text: 'flat on B-scan' },
    ],
  })
  const heath = withManyPrecautions(askedAs('HEATH-4', 'A question that was erased', { axialLengthMm: 31 }))
  await bringAbout(store, 'heath', { events: [heath.event], plans: [heath.plan] })
  await bringAbout(store, 'heath card', { outbound: [{ kind: 'consult-card', ref: 'HEATH-4', place: PLACE }] })
  await store.inbox.put({ key: 'waiting', inbound: said('not handled yet') }, at(2))
  await store.audiences.put({ platform: 'slack', workspace: 'T1', channel: 'C1' }, 'workspace', '2026-03-02T18:00:00.000Z')
  await store.conversations.put({ tenant: 'tenant', id: '19:c', kind: 'channel', serviceUrl: 'https://chat.invalid/emea/' })
  await store.conversations.put({ tenant: 'tenant', id: '19:d', kind: 'personal', serviceUrl: 'https://chat.invalid/emea/' })
  await store.audiences.put({ platform: 'slack', workspace: 'T1', channel: 'C1' }, { membersOf: 'C1' }, at(3))
  await store.audiences.put({ platform: 'slack', workspace: 'T1', channel: 'C2' }, 'workspace', at(4))
  for (const words of ['staphyloma', 'trypan']) {
    await store.accessLog.note({ by: CORNEA, what: 'searched', words, at: at(10) })
  }
  await store.close()

  const database = await openKeeping(url, secret)
  const doing = { by: 'Alder', at: at(20), because: 'asked for' }
  const ofHeath = await erasableOf(database.db, 'HEATH-4')
  const chosen = ofHeath.filter(({ kind, text }) => kind === 'plan' || text?.includes('question that was erased'))
  await erase(database, 'HEATH-4', chosen, doing)
  await setHold(database, 'MARSH-7', true, doing)
  await database.db
    .insertInto('person_settings')
    .values([
      { id: CORNEA.id, zone: 'Europe/London', quiet_from: '20:00', quiet_to: '07:00', reminders: 1 },
      { id: RETINA.id, zone: null, quiet_from: null, quiet_to: null, reminders: 0 },
    ])
    .execute()
  await database.close()
}

/** Changes rows behind the guards' back; afterwards the guards stand as before. */
export function changeByHand(path: string, statements: readonly string[]): void {
  const file = new Sqlite(path)
  knowPacking(file)
  // Tables that belong to the search index are otherwise kept from plain SQL.
  file.unsafeMode(true)
  const guards = file.prepare("select name, sql from sqlite_master where type = 'trigger'").all() as {
    name: string
    sql: string
  }[]
  for (const { name } of guards) file.exec(`drop trigger ${name}`)
  for (const statement of statements) {
    const { changes } = file.prepare(statement).run()
    if (changes === 0) throw new Error(`nothing was changed by: ${statement}`)
  }
  for (const { sql } of guards) file.exec(sql)
  file.close()
}

/** Lets SQL read and write what is kept packed. */
export function knowPacking(file: Sqlite.Database): void {
  file.function('packed', { deterministic: true }, (text) => Buffer.from(packText(String(text))))
  file.function('unpacked', { deterministic: true }, (bytes) => unpackText(bytes as Uint8Array))
}
