import type { Card } from '../../src/cards/card.js'

/** A reminder that nobody answered. */
export const REMINDER_CARD: Card = {
  title: 'Left eye · MARSH-7',
  summary: 'Nobody has answered Rowan Vale by the time set.',
  first: [{ kind: 'line', text: 'Nobody has answered Rowan Vale by the time set.', weight: 'strong' }],
  sections: [],
  choices: [{ label: 'No more reminders of this', emphasis: 'normal', does: { action: 'stop-reminders', ref: 'MARSH-7' } }],
  typing: 'Or write to me: MARSH-7 agree but: …',
  footer: '',
}

/** A card of two messages. */
export const SHORT_CARD: Card = {
  title: 'Left eye (OS) · MARSH-7',
  summary: 'Rowan Vale asks about a left eye: +9.0 D for -1.75.',
  first: [{ kind: 'line', text: '+9.0 D for -1.75', weight: 'strong' }],
  sections: [{ id: 'lens', title: 'Lens', blocks: [{ kind: 'line', text: 'by formula', weight: 'plain' }] }],
  choices: [
    { label: 'Agree', emphasis: 'normal', does: { action: 'give-opinion', ref: 'MARSH-7', revision: 1, opinion: 'agree' } },
  ],
  typing: '',
  footer: '',
}

/** A note that a consult was changed. */
export const NOTE_CARD: Card = {
  title: 'MARSH-7 was changed: revision 2',
  summary: 'MARSH-7 is revision 2 now. Please look at it again.',
  first: [{ kind: 'line', text: 'AL 29.60 is 29.70 mm now.', weight: 'plain' }],
  sections: [],
  choices: [],
  typing: '',
  footer: '',
}
