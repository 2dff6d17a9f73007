import type { BaseLogger } from 'pino'
import type { ChoiceAction } from '../../src/cards/card.js'
import type { Person, Place } from '../../src/consult/people.js'
import { formFaults } from '../../src/desk/form-values.js'
import { identifierFaults } from '../../src/desk/identifier-faults.js'
import type { Delivery, Inbound, ReplyHandle } from '../../src/desk/ports.js'
import { faultsByBlock } from '../../src/views/slack-modal.js'
import { named } from './mentioned.js'
import type { NameBook } from './names.js'
import { translate } from './translate.js'
import type { Bot, Translation } from './translation.js'
import type { UserGroups } from './user-groups.js'

export interface TakeInParts {
  readonly bot: Bot
  readonly names: NameBook
  readonly groups: UserGroups
  /** Judges a delivery for identifiers; what comes back may be stored. */
  readonly receive: (inbound: Inbound, key: string) => Delivery
  /** Stores it durably, once for each key; throws if it is not stored. */
  readonly accept: (delivery: Delivery) => Promise<void>
  /** Whether a consult hangs in this thread. Replies in other people's threads without one are not kept. */
  readonly holdsConsult: (place: Place) => boolean | Promise<boolean>
  readonly logger: Pick<BaseLogger, 'info' | 'warn' | 'error'>
}

/** A form to be opened before its trigger runs out, and the delivery that is kept where it cannot be. */
export interface WantedForm {
  readonly does: Extract<ChoiceAction, { action: 'open-form' }>
  readonly triggerId: string
  readonly key: string
  readonly inbound: Extract<Inbound, { kind: 'choice' }>
}

/** What is owed once Slack has been answered, or as its answer. */
export type Owed =
  | { readonly owed: 'unknown-button'; readonly reply: ReplyHandle }
  | { readonly owed: 'form'; readonly wanted: WantedForm }
  | { readonly owed: 'home'; readonly by: Person; readonly place: Place }
  /** The form stays open with what was typed in it; nothing of it was kept. */
  | { readonly owed: 'faults'; readonly errors: Readonly<Record<string, string>> }

/**
 * What is done with Slack's body before Slack is answered. Throws where it could not be stored, so that Slack is not
 * told otherwise.
 */
export async function takeIn(parts: TakeInParts, body: unknown): Promise<Owed | undefined> {
  const said = translate(body, parts.bot)
  switch (said.kind) {
    case 'nothing':
      // the everyday talk of a channel would fill the log
      if (said.unread) parts.logger.warn({ chat: 'slack' }, `passed over: ${said.because}`)
      return undefined
    case 'unknown-button':
      return { owed: 'unknown-button', reply: said.reply }
    case 'home':
      return { owed: 'home', by: await nameOf(parts, said.by, said.userId), place: said.place }
    case 'open-form': {
      // the trigger lives three seconds: the name is looked up beside, not before
      const { does, triggerId, key, inbound } = said
      void parts.names.nameOf(said.userId)
      return { owed: 'form', wanted: { does, triggerId, key, inbound } }
    }
    case 'form':
      return takeForm(parts, said)
    case 'delivery': {
      if (said.strangersThread && !(await parts.holdsConsult(said.inbound.place))) return undefined
      const [by, inbound] = await Promise.all([nameOf(parts, said.inbound.by, said.userId), withMentions(parts, said)])
      await parts.accept(parts.receive({ ...inbound, by }, said.key))
      return undefined
    }
  }
}

type Spoken = Extract<Translation, { kind: 'delivery' }>

/** What was said with people and groups by their names; most messages mark nobody, and nothing is looked up for them. */
async function withMentions(parts: TakeInParts, { inbound, marks = [] }: Spoken): Promise<Spoken['inbound']> {
  if (marks.length === 0 || !('text' in inbound) || inbound.text === undefined) return inbound
  return { ...inbound, ...(await named(inbound.text, marks, inbound.place.workspace, parts)) }
}

async function nameOf({ names }: TakeInParts, by: Person, userId: string): Promise<Person> {
  const name = await names.nameOf(userId)
  return name === undefined ? by : { ...by, name }
}

type FormAnswers = Extract<Translation, { kind: 'form' }>

/** What is wrong with single answers is said in the form itself, where it can be mended; everything else by the desk. */
async function takeForm(parts: TakeInParts, { key, inbound, userId, picked }: FormAnswers): Promise<Owed | undefined> {
  const errors = { ...formFaults(inbound.form, inbound.values), ...identifierFaults(inbound, parts.receive) }
  if (Object.keys(errors).length > 0) return { owed: 'faults', errors: faultsByBlock(errors) }
  const [by, people] = await Promise.all([nameOf(parts, inbound.by, userId), withPeople(parts, inbound, picked)])
  const judged = parts.receive({ ...inbound, by }, key)
  // people picked from the workspace's own list were not typed: they go in after the guard
  await parts.accept(judged.inbound.kind === 'form' ? { key, inbound: { ...judged.inbound, ...people } } : judged)
  return undefined
}

/** People who were picked, by the names that colleagues read; by their id where Slack gives no name. */
async function withPeople(
  parts: TakeInParts,
  { values, place }: FormAnswers['inbound'],
  picked: FormAnswers['picked'],
): Promise<Pick<FormAnswers['inbound'], 'values' | 'mentioned'>> {
  const fields = await Promise.all(
    Object.entries(picked).map(async ([field, users]) => {
      const marks = users.map((user) => ({ kind: 'person', id: user, said: user }) as const)
      const { mentioned } = await named('', marks, place.workspace, parts)
      const names = mentioned.map(({ said, id }, index) => (said === users[index] ? id : said))
      return { field, mentioned, said: [...names, ...(values[field] === undefined ? [] : [values[field]])].join(', ') }
    }),
  )
  const mentioned = fields.flatMap((one) => one.mentioned)
  return {
    values: { ...values, ...Object.fromEntries(fields.map(({ field, said }) => [field, said])) },
    ...(mentioned.length === 0 ? {} : { mentioned }),
  }
}
