import type { WebClient } from '@slack/web-api'
import type { BaseLogger } from 'pino'
import type { Form } from '../../src/cards/form.js'
import { INPUT_WORDS } from '../../src/cards/words-inputs-en.js'
import { slackModal, slackNotice } from '../../src/views/slack-modal.js'
import { faultName } from './bolt-logger.js'
import type { WantedForm } from './take-in.js'

export interface FormParts {
  readonly client: WebClient
  /** The form as it is to be shown to this person; undefined where there is none for them. */
  readonly formFor: () => Promise<Form | undefined>
  readonly logger: Pick<BaseLogger, 'warn'>
  /** How long the form may take before something is shown in its place, ms. */
  readonly patienceMs?: number
}

const PATIENCE_MS = 400
const SLOW = Symbol('slow')

/**
 * Opens a form while its trigger lives. One that takes long to read is opened empty and filled in afterwards. Nothing is
 * tried twice: a second call could open a second one.
 * @returns whether something stands open that tells the person how to go on
 */
export async function openForm(parts: FormParts, wanted: WantedForm): Promise<boolean> {
  const { client, logger, patienceMs = PATIENCE_MS } = parts
  const reading = parts.formFor()
  reading.catch(() => undefined)
  const { channel, thread } = wanted.inbound.place
  const modal = (form: Form) => slackModal(form, { channel, ...(thread === undefined ? {} : { thread }) })
  let view_id: string | undefined
  try {
    const quick = await Promise.race([reading, afterMs(patienceMs)])
    if (quick === undefined) return false
    if (quick !== SLOW) {
      await client.views.open({ trigger_id: wanted.triggerId, view: modal(quick) })
      return true
    }
    const opened = await client.views.open({
      trigger_id: wanted.triggerId,
      view: slackNotice(INPUT_WORDS.opening, INPUT_WORDS.openingText),
    })
    view_id = opened.view?.id
    const form = await reading
    if (view_id !== undefined && form !== undefined) {
      await client.views.update({ view_id, view: modal(form) })
      return true
    }
  } catch (fault) {
    logger.warn({ chat: 'slack', form: wanted.does.form }, `a form could not be opened: ${faultName(fault)}`)
  }
  // what was opened in its place must not promise it for ever
  if (view_id !== undefined)
    await client.views
      .update({ view_id, view: slackNotice(INPUT_WORDS.notOpened, INPUT_WORDS.notOpenedText) })
      .catch((fault: unknown) => logger.warn({ chat: 'slack' }, `nor could that be said: ${faultName(fault)}`))
  return false
}

function afterMs(ms: number): Promise<typeof SLOW> {
  return new Promise((resolve) => {
    setTimeout(() => resolve(SLOW), ms).unref()
  })
}
