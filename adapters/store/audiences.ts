import type { Room } from '../../src/desk/rooms.js'
import type { Audiences } from '../../src/desk/store.js'
import type { Database, Reader } from './database.js'

/** Who reads which room, as its chat last said. */
export function audiencesOf({ db }: Pick<Database, 'db'>): Audiences {
  return {
    get: (room) => audienceIn(db, room),

    async put({ platform, workspace, channel }, audience, at) {
      const said = { members_of: audience === 'workspace' ? null : audience.membersOf, at }
      await db
        .insertInto('audiences')
        .values({ platform, workspace, channel, ...said })
        .onConflict((conflict) => conflict.columns(['platform', 'workspace', 'channel']).doUpdateSet(said))
        .execute()
    },
  }
}

export async function audienceIn(reader: Reader, { platform, workspace, channel }: Room): ReturnType<Audiences['get']> {
  const row = await reader
    .selectFrom('audiences')
    .select(['members_of', 'at'])
    .where('platform', '=', platform)
    .where('workspace', '=', workspace)
    .where('channel', '=', channel)
    .executeTakeFirst()
  return row && { audience: row.members_of === null ? 'workspace' : { membersOf: row.members_of }, at: row.at }
}
