import type { WebClient } from '@slack/web-api'
import type { BaseLogger } from 'pino'
import type { Card } from '../../src/cards/card.js'
import type { Person, Place } from '../../src/consult/people.js'
import { slackHome } from '../../src/views/slack-home.js'
import { faultName } from './bolt-logger.js'

export interface HomeParts {
  readonly by: Person
  readonly place: Place
  readonly homeFor: (reader: { readonly by: Person; readonly place: Place }) => Promise<Card>
  readonly logger: Pick<BaseLogger, 'warn'>
}

/** Draws a person's Home tab anew. It is drawn whenever they look, so one that fails is not tried again. */
export async function publishHome(client: WebClient, { by, place, homeFor, logger }: HomeParts): Promise<void> {
  try {
    const card = await homeFor({ by, place })
    const user_id = by.id.slice(by.id.lastIndexOf(':') + 1)
    await client.views.publish({ user_id, view: slackHome(card, place.channel) })
  } catch (fault) {
    logger.warn({ chat: 'slack' }, `a Home tab could not be drawn: ${faultName(fault)}`)
  }
}
