import type { Conversations } from '../../src/desk/store.js'
import type { Database } from './database.js'

export function conversationsOf({ db }: Database): Conversations {
  return {
    async get(tenant, id) {
      const row = await db
        .selectFrom('conversations')
        .selectAll()
        .where('tenant', '=', tenant)
        .where('id', '=', id)
        .executeTakeFirst()
      return row && { tenant, id, kind: row.kind, serviceUrl: row.service_url }
    },

    async put({ tenant, id, kind, serviceUrl }) {
      await db
        .insertInto('conversations')
        .values({ tenant, id, kind, service_url: serviceUrl })
        .onConflict((conflict) => conflict.columns(['tenant', 'id']).doUpdateSet({ kind, service_url: serviceUrl }))
        .execute()
    },
  }
}
