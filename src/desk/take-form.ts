import type { Card } from '../cards/card.js'
import { noteCard } from '../cards/short-cards.js'
import type { Decided } from '../consult/decided.js'
import { makeDecision, recordOutcome } from './act-on-consult.js'
import { giveOpinion, NO_SUCH_CONSULT } from './answer-consult.js'
import { consultFor, type StandingConsult } from './consult-here.js'
import type { DeskDeps } from './deps.js'
import { askingIn, formFaults, listIn, opinionIn, outcomeIn, signedIn, type Values, valueIn } from './form-values.js'
import { whyNotThere } from './may-post.js'
import { askingMeant } from './on-draft.js'
import type { Inbound } from './ports.js'
import { previewCase } from './put-case.js'
import { only, refuse } from './replies.js'
import { reviseCase } from './revise.js'
import type { DeskView, Effects } from './store.js'
import { openTask } from './tasks.js'

type FormAnswers = Extract<Inbound, { kind: 'form' }>

/** Turns the answers of a form into the same commands as its typed form. What was written comes back with a refusal. */
export async function takeForm(inbound: FormAnswers, view: DeskView, deps: DeskDeps): Promise<Effects> {
  const { form, values, about } = inbound
  const faults = Object.values(formFaults(form, values, deps.today()))
  if (faults.length > 0)
    return only(inbound, withAnswers(`Nothing was recorded. ${faults.map((fault) => `${fault}.`).join(' ')}`, values))
  if (form === 'ask') return askByForm(inbound, view, deps)
  const here = about.ref === undefined ? undefined : await consultFor(inbound, about.ref, view, deps)
  if (!here) return refuse(inbound, NO_SUCH_CONSULT)
  const effects = await takeOn(inbound, here, view, deps)
  return effects.events.length > 0 ? effects : answeredWithValues(effects, values)
}

async function takeOn(inbound: FormAnswers, here: StandingConsult, view: DeskView, deps: DeskDeps): Promise<Effects> {
  const { form, values, about } = inbound
  switch (form) {
    case 'opinion': {
      const opinion = opinionIn(values)
      if (!opinion) return refuse(inbound, 'Choose one of the five answers')
      return giveOpinion(inbound, here, { opinion, revision: about.revision ?? here.consult.revision }, view, deps)
    }
    case 'change':
      return reviseCase(inbound, here, valueIn(values, 'items') ?? '', view, deps)
    case 'decide':
      return makeDecision(inbound, here, decisionIn(values, here), view, deps)
    case 'outcome': {
      const read = outcomeIn(values)
      if (read.success) return recordOutcome(inbound, here, read.data, view, deps)
      return refuse(
        inbound,
        `Nothing was recorded. ${read.error.issues.map(({ path, message }) => `${path.join(' ')}: ${message}`).join('. ')}`,
      )
    }
    case 'task': {
      const fact = valueIn(values, 'gap')
      const typed = valueIn(values, 'what')
      const plan = await view.plan(here.consult.planHash)
      const gap = plan?.gaps.find((one) => one.fact === fact)
      const due = valueIn(values, 'due')
      const wanted = {
        what: typed ?? gap?.task ?? gap?.label ?? '',
        ...(typed === undefined && gap !== undefined ? { fact: gap.fact } : {}),
        owners: listIn(values, 'owner'),
        ...(due === undefined ? {} : { due }),
      }
      return openTask(inbound, here, wanted, view, deps)
    }
    case 'ask':
      return askByForm(inbound, view, deps)
    default:
      return unreachable(form)
  }
}

/** The preview of what the form says; the draft it came from makes room for the new one. */
async function askByForm(inbound: FormAnswers, view: DeskView, deps: DeskDeps): Promise<Effects> {
  const { values, about } = inbound
  const chosen = valueIn(values, 'channel')
  const elsewhere = chosen !== undefined && chosen !== inbound.place.channel
  const { platform, workspace, channel } = inbound.place
  const place = elsewhere ? { platform, workspace, channel: chosen } : { ...inbound.place, channel }
  const whyNot = elsewhere ? await whyNotThere(inbound.by, place, deps) : undefined
  if (whyNot !== undefined) return only(inbound, withAnswers(whyNot, values))
  const meant = await askingMeant(askingIn(values), inbound, view, deps)
  if ('problems' in meant) return only(inbound, withAnswers(`Nothing was posted. ${meant.problems.join('. ')}.`, values))
  const asking = { ...meant.asking, ...(elsewhere ? { elsewhere } : {}) }
  const anew = await previewCase(inbound, { text: valueIn(values, 'text') ?? '', hasPicture: false, asking, place }, deps)
  const former = about.draftId === undefined ? undefined : await view.draft(about.draftId)
  const setAside = former?.state === 'open' && former.by === inbound.by.id && anew.drafts.length > 0
  return setAside ? { ...anew, drafts: [{ change: 'corrected', id: former.id }, ...anew.drafts] } : anew
}

function decisionIn(values: Values, { consult }: StandingConsult): Decided {
  const name = (id: string): string => consult.opinions.find(({ by }) => by.id === id)?.by.name ?? id
  const reasons = (prefix: string): readonly (readonly [string, string])[] =>
    Object.keys(values).flatMap((id) => {
      const because = id.startsWith(prefix) ? valueIn(values, id) : undefined
      return because === undefined ? [] : [[id.slice(prefix.length), because] as const]
    })
  const optional = (id: 'planB' | 'trigger' | 'lensBecause'): { readonly [Key in typeof id]?: string } => {
    const value = valueIn(values, id)
    return value === undefined ? {} : { [id]: value }
  }
  const powerD = signedIn(values, 'lens')
  return {
    planA: valueIn(values, 'planA') ?? '',
    ...optional('planB'),
    ...optional('trigger'),
    operates: valueIn(values, 'operates') ?? '',
    ...(powerD === undefined ? {} : { lens: { powerD } }),
    ...optional('lensBecause'),
    follows: listIn(values, 'follows').map(name),
    departs: reasons('depart:').map(([from, because]) => ({ from: name(from), because })),
    overrides: reasons('override:').map(([precaution, because]) => ({ precaution, because })),
  }
}

/** A form is gone once it was sent, so what was written in it is given back with the reason why it was not taken. */
function withAnswers(sentence: string, values: Values): Card {
  const items = Object.entries(values)
    .filter(([, value]) => value.trim() !== '')
    .map(([, value]) => value.trim())
  const card = noteCard(sentence)
  if (items.length === 0) return card
  return { ...card, first: [...card.first, { kind: 'line', text: 'You wrote:', weight: 'quiet' }, { kind: 'list', items }] }
}

function answeredWithValues(effects: Effects, values: Values): Effects {
  const { first } = withAnswers('', values)
  return {
    ...effects,
    outbound: effects.outbound.map((outbound) =>
      outbound.kind === 'answer'
        ? { ...outbound, card: { ...outbound.card, first: [...outbound.card.first, ...first.slice(1)] } }
        : outbound,
    ),
  }
}

function unreachable(value: never): never {
  throw new Error(`Unknown ${JSON.stringify(value)}`)
}
