import { SLACK_PATH, startSlack } from '../../../adapters/slack/start.js'
import { BOT, type SlackApi } from '../../fakes/slack-api.js'
import { SIGNING_SECRET } from '../../fakes/slack-requests.js'
import { servedAt } from '../../tools/served.js'
import { startWholeWay, type Whole } from '../../tools/whole-way.js'

/** Everything between Slack and the disk as it is, but for the pause between two messages in a channel. */
export const startWhole = (api: SlackApi, trail: string): Promise<Whole> =>
  startWholeWay('slack', trail, async ({ accept, receive, holdsConsult, asked, log, clock }) => {
    const slack = await startSlack(
      { botToken: BOT.token, signingSecret: SIGNING_SECRET, apiUrl: api.url, mode: 'http' },
      {
        accept,
        receive,
        holdsConsult,
        ...asked,
        logger: log,
        clock,
        timing: { gapMs: 0, ticks: () => performance.now(), wait: async () => {} },
      },
    )
    const served = await servedAt(SLACK_PATH, (request, response) => slack.requestListener?.(request, response))
    const { sender, rooms } = slack
    return {
      url: served.url,
      sender,
      rooms,
      async stop() {
        served.stop()
        await slack.stop()
      },
    }
  })
