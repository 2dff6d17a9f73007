import { describe, expect, it } from 'vitest'
import { withMentions } from '../../../adapters/teams/mentions.js'
import { activityEnvelope } from '../../../adapters/teams/payloads.js'
import { translate } from '../../../adapters/teams/translate.js'
import { noteCard } from '../../../src/cards/short-cards.js'
import { adaptiveMessages } from '../../../src/views/adaptive-card.js'
import { channelMessage, mentionOfBot } from '../../fakes/teams-activities.js'
import { TENANT } from '../../fakes/teams-tokens.js'

const FINCH = { type: 'mention', text: '<at>Odile Finch</at>', mentioned: { id: '29:odile', name: 'Odile Finch' } }
// The form of a tag's mention is from memory of the platform's pages; no delivery with one was seen.
const RETINA = { type: 'mention', text: '<at>Retina team</at>', mentioned: { id: 'dGFn', name: 'Retina team', type: 'tag' } }

describe('whom a message marks on Teams', () => {
  it('is kept by the bot’s own id of them, a tag as a group whose people are not said; the bot is left out', () => {
    const typed = channelMessage('post: ask <at>Odile Finch</at> and <at>Retina team</at>')
    const activity = { ...typed, entities: [mentionOfBot, FINCH, RETINA] }
    const said = translate(activity, activityEnvelope.parse(activity), TENANT)
    expect(said.kind === 'delivery' && said.inbound).toMatchObject({
      text: 'post: ask @Odile Finch and @Retina team',
      mentioned: [
        { said: 'Odile Finch', kind: 'person', id: `teams:${TENANT}:29:odile` },
        { said: 'Retina team', kind: 'group', id: `teams:${TENANT}:tag:dGFn` },
      ],
    })
  })

  it('is told by a mention of a person, or of the tag as a whole', async () => {
    const [message] = adaptiveMessages(noteCard('Nobody has answered.'))
    if (message === undefined) throw new Error('a note is one message')
    const names: Readonly<Record<string, string>> = { '29:odile': 'Odile Finch', 'tag:dGFn': 'Retina team' }
    const ids = Object.keys(names).map((id) => `teams:${TENANT}:${id}`)
    const { card } = await withMentions(message, TENANT, ids, async (id) => names[id.slice(`teams:${TENANT}:`.length)])
    expect(card).toMatchObject({
      msteams: {
        entities: [
          { type: 'mention', text: '<at>Odile Finch</at>', mentioned: { id: '29:odile', name: 'Odile Finch' } },
          { type: 'mention', text: '<at>Retina team</at>', mentioned: { id: 'dGFn', name: 'Retina team', type: 'tag' } },
        ],
      },
    })
  })
})
