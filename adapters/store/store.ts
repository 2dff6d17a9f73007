import { randomBytes } from 'node:crypto'
import type { MissingFacts, Standing, Store } from '../../src/desk/store.js'
import { accessLogOf } from './access-log.js'
import { derive } from './appending.js'
import { audienceIn, audiencesOf } from './audiences.js'
import { conversationsOf } from './conversations.js'
import type { Database } from './database.js'
import { draftOf, newestDraftOf } from './drafts.js'
import { factsOf, missingFacts } from './facts.js'
import { inboxOf } from './inbox.js'
import { cardStandingOf, consultInThread, outboxOf, recoverInterrupted } from './outbox.js'
import { peopleOf } from './people.js'
import { openConsults, trailReading } from './reading.js'
import { remindingOf, settingsOf } from './reminding.js'

const freshSalt = (): string => randomBytes(16).toString('base64url')

/** The store as a database of ours makes it. */
export interface KeptStore extends Store {
  readonly missingFacts: MissingFacts
}

/** The store over a database of any dialect. Deliveries and messages cut short by a crash are taken up again here. */
export async function storeOver(database: Database, now: string): Promise<KeptStore> {
  await recoverInterrupted(database, now)
  const { db } = database
  const trail = trailReading(database)
  const missing = missingFacts(database, (writer, ref) => derive(database, writer, ref))
  return {
    trail,
    missingFacts: missing,
    view: {
      events: trail.events,
      plan: trail.plan,
      find: trail.find,
      newest: trail.newest,
      ...factsOf(db),
      factsMissing: missing.anyLeft,
      open: (scope, limit) => openConsults(db, scope, limit),
      settings: (id) => settingsOf(db, id),
      draft: (id) => draftOf(db, id),
      newestDraft: (by, place) => newestDraftOf(db, by, place),
      people: (place) => peopleOf(db, place),
      async person(id) {
        const row = await db.selectFrom('people').selectAll().where('id', '=', id).executeTakeFirst()
        if (!row) return undefined
        const { name, grade, field } = row
        return { id, name, ...(grade === null ? {} : { grade }), ...(field === null ? {} : { field }) }
      },
      consultInThread: (place) => consultInThread(db, place),
      cardStanding: (ref) => cardStandingOf(db, ref),
      audienceOf: async (room) => (await audienceIn(db, room))?.audience,
    },
    inbox: inboxOf(database, freshSalt),
    outbox: outboxOf(database, freshSalt),
    conversations: conversationsOf(database),
    audiences: audiencesOf(database),
    reminding: remindingOf(database),
    accessLog: accessLogOf(database),
    standing: () => standingOf(database),
    close: () => database.close(),
  }
}

async function standingOf({ db }: Database): Promise<Standing> {
  const inbox = await db
    .selectFrom('inbox')
    .select((build) => ['state', build.fn.countAll<number>().as('count')])
    .where('state', 'in', ['waiting', 'failed'])
    .groupBy('state')
    .execute()
  const outbox = await db
    .selectFrom('outbox')
    .select((build) => ['state', build.fn.countAll<number>().as('count')])
    .where('state', 'in', ['queued', 'sending', 'unknown', 'refused'])
    .groupBy('state')
    .execute()
  const count = (rows: readonly { state: string; count: number }[], ...states: readonly string[]): number =>
    rows.filter(({ state }) => states.includes(state)).reduce((sum, row) => sum + Number(row.count), 0)
  return {
    inboxWaiting: count(inbox, 'waiting'),
    inboxFailed: count(inbox, 'failed'),
    outboxQueued: count(outbox, 'queued', 'sending'),
    outboxUnknown: count(outbox, 'unknown'),
    outboxRefused: count(outbox, 'refused'),
  }
}
