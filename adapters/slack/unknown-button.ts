import type { Card } from '../../src/cards/card.js'
import type { Outbound, ReplyHandle } from '../../src/desk/ports.js'

const WHAT_TO_DO =
  'It belongs to an earlier version of Soundings. Type your answer in the thread, or put the case again with /soundings.'

const CARD: Card = {
  title: 'This button no longer works',
  summary: 'This button no longer works: type your answer in the thread instead.',
  first: [{ kind: 'line', text: WHAT_TO_DO, weight: 'plain' }],
  sections: [],
  choices: [],
  typing: '',
  footer: '',
}

/** For a button whose value is not understood. Nothing is recorded: the answer alone is owed. */
export function unknownButtonAnswer(reply: ReplyHandle): Extract<Outbound, { kind: 'answer' }> {
  return {
    kind: 'answer',
    to: { id: reply['user'] ?? '', name: '' },
    place: { platform: 'slack', workspace: '', channel: reply['channel'] ?? '' },
    reply,
    card: CARD,
  }
}
