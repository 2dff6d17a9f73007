import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { ChoiceAction } from '../../../src/cards/card.js'
import { buttonPress, CHANNEL, channelMessage, deliver, GROUP, ODILE, ROWAN } from '../../fakes/teams-activities.js'
import { type Standing, startTeamsConnector } from '../../fakes/teams-connector.js'
import { channelToken } from '../../fakes/teams-tokens.js'
import { until } from '../../tools/until.js'
import { startWhole } from '../teams/whole.js'
import { type Chat, opens, settled, type Who } from './chat.js'

const PEOPLE = { asker: ROWAN, colleague: ODILE } as const
const PERSONAL: Readonly<Record<Who, string>> = { asker: 'a:personal0001', colleague: 'a:personal0002' }

interface Action {
  readonly data: { readonly soundings?: ChoiceAction; readonly soundingsForm?: unknown }
}
interface Input {
  readonly id?: string
  readonly value?: string
  readonly choices?: readonly { readonly title: string; readonly value: string }[]
}
const cardOf = ({ card }: Standing) => card as { readonly actions?: readonly Action[]; readonly body: readonly Input[] }

export async function onTeams(): Promise<Chat> {
  const folder = mkdtempSync(join(tmpdir(), 'soundings-powers-'))
  const connector = await startTeamsConnector({ conversations: [CHANNEL, GROUP] })
  for (const who of ['asker', 'colleague'] as const) connector.chats.set(PEOPLE[who].id, PERSONAL[who])
  const whole = await startWhole(connector, join(folder, 'trail.db'))
  let count = 0
  const fresh = () => {
    count += 1
    return count
  }

  const send = async (activity: object) => {
    const { serviceUrl } = connector
    const { status } = await deliver(whole.url, { ...activity, serviceUrl }, { token: channelToken(serviceUrl) })
    if (status !== 200) throw new Error(`Teams was answered ${status}`)
    await settled(whole.store)
  }
  const inPersonal = (who: Who) => connector.standing.filter(({ conversation }) => conversation === PERSONAL[who])
  const inChannel = () => connector.standing.filter(({ conversation }) => conversation.startsWith(CHANNEL))
  const root = () => inChannel()[0]?.id ?? ''

  async function press(who: Who, on: 'preview' | 'consult', wanted: (does: ChoiceAction) => boolean): Promise<void> {
    const { standing, data } = await until(
      () => {
        const messages = on === 'consult' ? inChannel() : inPersonal(who).toReversed()
        return messages
          .flatMap((standing) => (cardOf(standing).actions ?? []).map(({ data }) => ({ standing, data })))
          .find(({ data }) => data.soundings !== undefined && wanted(data.soundings))
      },
      () => `a button on the ${on}`,
    )
    const personal = on === 'preview'
    const where = personal ? { personal, card: standing.id } : { card: standing.id }
    const activity = buttonPress(data, { ...where, from: PEOPLE[who], id: `f:${fresh()}` })
    const conversation = { ...activity.conversation, id: personal ? PERSONAL[who] : `${CHANNEL};messageid=${root()}` }
    await send({ ...activity, conversation })
  }

  return {
    store: whole.store,
    say: (who, text) => send(channelMessage(text, { from: PEOPLE[who], id: `17900010${fresh()}00` })),
    write: (who, text) =>
      send(channelMessage(text, { mention: false, root: root(), from: PEOPLE[who], id: `17900020${fresh()}00` })),
    press,
    async fill(who, on, form, answers) {
      const before = inPersonal(who).length
      await press(who, on, opens(form))
      const shown = await until(
        () => {
          const last = inPersonal(who).slice(before).at(-1)
          return last !== undefined && cardOf(last).actions?.[0]?.data.soundingsForm !== undefined && last
        },
        () => `the form ${form}`,
      )
      const { body, actions } = cardOf(shown)
      const values = body.flatMap(({ id, value, choices }) => {
        if (id === undefined) return []
        const filled = answers[id.slice(2)]
        return [[id, choices?.find(({ title }) => title === filled)?.value ?? filled ?? value ?? '']]
      })
      const value = { ...actions?.[0]?.data, ...Object.fromEntries(values) }
      const activity = buttonPress(value, { personal: true, card: shown.id, from: PEOPLE[who], id: `f:${fresh()}` })
      await send({ ...activity, conversation: { ...activity.conversation, id: PERSONAL[who] } })
    },
    async stop() {
      await whole.stop()
      await connector.stop()
      rmSync(folder, { recursive: true })
    },
  }
}
