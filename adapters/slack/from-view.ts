import { FORM_CALLBACK, modalAnswers, readCarried } from '../../src/views/slack-modal.js'
import type { ViewSubmission } from './payloads.js'
import { nothing, personId, type Translation } from './translation.js'

/** The answers of a form. A view that is sent twice has the same hash; one that was given back for correction is sent anew. */
export function fromView({ team, user, view }: ViewSubmission): Translation {
  const workspace = team?.id ?? user.team_id
  if (view.callback_id !== FORM_CALLBACK || workspace === undefined) return nothing('a modal that is not ours')
  const carried = readCarried(view.private_metadata)
  const answers = modalAnswers(view.state.values)
  if (carried === undefined || answers === undefined)
    return { kind: 'nothing', because: 'a form of a shape that is not read here', unread: true }
  const { form, about, channel, thread } = carried
  const inThread = thread === undefined ? {} : { thread }
  return {
    kind: 'form',
    key: `slack:view:${workspace}:${view.id}:${view.hash}`,
    userId: user.id,
    picked: answers.picked,
    inbound: {
      kind: 'form',
      form,
      about: {
        ...(about.ref === undefined ? {} : { ref: about.ref }),
        ...(about.draftId === undefined ? {} : { draftId: about.draftId }),
        ...(about.revision === undefined ? {} : { revision: about.revision }),
      },
      values: answers.values,
      by: { id: personId(workspace, user.id), name: user.name || user.username || `@${user.id}` },
      place: { platform: 'slack', workspace, channel, ...inThread },
      reply: { channel, user: user.id, ...inThread },
    },
  }
}
