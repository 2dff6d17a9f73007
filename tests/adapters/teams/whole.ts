import { startTeams, TEAMS_PATH } from '../../../adapters/teams/start.js'
import { BOT_TOKEN, type TeamsConnector } from '../../fakes/teams-connector.js'
import { servedAt } from '../../tools/served.js'
import { startWholeWay, type Whole } from '../../tools/whole-way.js'
import { settingsFor } from './loopback.js'

/** Everything between Teams and the disk as it is. */
export const startWhole = (connector: TeamsConnector, trail: string): Promise<Whole> =>
  startWholeWay('teams', trail, async ({ store, accept, receive, holdsConsult, asked, log }) => {
    const teams = await startTeams(settingsFor(connector), {
      accept,
      receive,
      holdsConsult,
      conversations: store.conversations,
      formFor: asked.formFor,
      logger: log,
      botToken: async () => BOT_TOKEN,
    })
    const served = await servedAt(TEAMS_PATH, (request, response) => teams.requestListener(request, response))
    const { sender, rooms } = teams
    return {
      url: served.url,
      sender,
      rooms,
      async stop() {
        served.stop()
        await teams.stop()
      },
    }
  })
