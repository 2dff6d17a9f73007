import type { Card } from '../../src/cards/card.js'
import type { Outbound, ReplyHandle } from '../../src/desk/ports.js'

const short = (title: string, summary: string, text: string): Card => ({
  title,
  summary,
  first: [{ kind: 'line', text, weight: 'plain' }],
  sections: [],
  choices: [],
  typing: '',
  footer: '',
})

/** In a thread, where everybody sees it: holds nothing of the case. */
export const openTheChatCard = short(
  'Your preview waits for you',
  'Open a personal chat with the bot to see the preview.',
  'Only you are to see it, and the bot cannot reach you yet. Add the app for yourself or write to it in a personal chat, then send the case again.',
)

export const welcomeCard = short(
  'Soundings is here',
  'Soundings is here: second opinions before hard cataract operations.',
  'Name the bot and write a case, or write help for examples. You see the plan first, in your own chat with the bot; it goes to your colleagues only when you say so. Never write a patient’s name, date of birth or number.',
)

const deadButtonCard = short(
  'This button no longer works',
  'This button no longer works: type your answer in the thread instead.',
  'It belongs to an earlier version of Soundings. Type your answer in the thread, or put the case again.',
)

const notNowCard = short(
  'Press it again in a minute',
  'Press this button again in a minute: nothing was recorded.',
  'It cannot be found out now whether you are in the channel that this belongs to. Nothing was recorded: press it again in a minute.',
)

type Answer = Extract<Outbound, { kind: 'answer' }>

/** For a button whose value is not understood. Nothing is recorded: the answer alone is owed. */
export const unknownButtonAnswer = (reply: ReplyHandle): Answer => toPresser(reply, deadButtonCard)

/** For a button that carries a channel along whose members Teams does not tell now. */
export const notNowAnswer = (reply: ReplyHandle): Answer => toPresser(reply, notNowCard)

const toPresser = (reply: ReplyHandle, card: Card): Answer => ({
  kind: 'answer',
  to: { id: reply['user'] ?? '', name: '' },
  place: { platform: 'teams', workspace: reply['tenant'] ?? '', channel: reply['conversation'] ?? '' },
  reply,
  card,
})
