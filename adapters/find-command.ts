import { FOUND_WORDS as SAID } from '../src/cards/words-found-en.js'
import { aboutPlan } from '../src/desk/look-up.js'
import { type SearchView, searchTrail } from '../src/desk/search-trail.js'
import type { FeatureRows } from '../src/trail/features.js'
import type { TrailReading } from '../src/trail/trail-store.js'
import type { ExitCode, Terminal } from './plan-command.js'

export interface FindOptions {
  /** From 1. */
  readonly page?: string
  /** A line of JSON for each consult. */
  readonly json: boolean
}

const PER_PAGE = 20

type HitPage = Exclude<Awaited<ReturnType<typeof searchTrail>>, { readonly kind: 'faults' }>
type Hit = HitPage['hits'][number]

/**
 * `soundings find`: consults by the same language as in a chat and on the page, best match first, a page at a time.
 * Whoever holds the database finds those of every workspace and room.
 */
export async function findCommand(
  said: readonly string[],
  options: FindOptions,
  trail: TrailReading & FeatureRows,
  terminal: Terminal,
): Promise<ExitCode> {
  const refuse = (faults: readonly string[]): ExitCode => {
    for (const fault of faults) terminal.err(`${fault}\n`)
    return 2
  }
  const option = said.find((word) => word.startsWith('--'))
  if (option !== undefined) return refuse([`${option}: there is no such option. There are --page N and --json`])
  const { page } = options
  if (page !== undefined && !/^[1-9]\d{0,2}$/.test(page))
    return refuse([`--page ${page}: write a number from 1, such as --page 2`])
  const query = said.join(' ')
  const view: SearchView = trail
  const found = await searchTrail(
    page === undefined ? query : `${query} page ${page}`,
    'everything',
    'everything',
    PER_PAGE,
    view,
  )
  if (found.kind === 'faults') {
    const faults = found.faults.map(
      ({ item, message, instead }) =>
        `${item === '' ? '' : `“${item}”: `}${message} Write, for example: soundings find '${instead}'`,
    )
    return refuse([...faults, SAID.howTo])
  }
  for (const hit of found.hits) terminal.out(options.json ? `${JSON.stringify(asJson(hit))}\n` : inWords(hit))
  for (const remark of remarks(found, query)) terminal.err(`${remark}\n`)
  return 0
}

function inWords({ row, plan, excerpt }: Hit): string {
  const { ref, askedAt, askedBy, opinions, outcome } = row
  const asker = askedBy.grade === undefined ? askedBy.name : `${askedBy.name}, ${askedBy.grade}`
  return [
    `${ref}  ${askedAt.slice(0, 10)}  asked by ${asker}  ${opinions} ${opinions === 1 ? 'answer' : 'answers'}`,
    ...(plan === undefined ? [] : [`  ${aboutPlan(plan)}`]),
    ...(excerpt === undefined ? [] : [`  ${excerpt}`]),
    ...(outcome === undefined ? [] : [`  ${SAID.outcome(outcome)}`]),
    '',
  ].join('\n')
}

/** What was found, with the facts that ranges look at; a fact that is absent is not known. */
function asJson({ row, plan, excerpt }: Hit) {
  const { ref, askedAt, askedBy, opinions, eye, numbers, words, yesNo, steps, people, decision, outcome } = row
  return {
    ref,
    askedAt,
    askedBy: { id: askedBy.id, name: askedBy.name },
    opinions,
    ...(eye === undefined ? {} : { eye }),
    facts: { ...numbers, ...words, ...yesNo },
    steps,
    people,
    ...(plan === undefined ? {} : { about: aboutPlan(plan) }),
    ...(excerpt === undefined ? {} : { excerpt }),
    ...(decision === undefined ? {} : { decision }),
    ...(outcome === undefined ? {} : { outcome }),
  }
}

/** Which part of it this is, and what may be missing from it. On the other stream, so that a pipe gets consults alone. */
function remarks({ page, hits, total, notStated, lookedThroughAll }: HitPage, query: string): readonly string[] {
  const before = (page - 1) * PER_PAGE
  const after = total - before - hits.length
  return [
    ...(total === 0 ? [`Nothing found for “${query}”. Fewer words find more.`, SAID.howTo] : []),
    ...(total > 0 && hits.length === 0 ? [SAID.pastTheEnd(total)] : []),
    ...(hits.length > 0 && hits.length < total ? [SAID.shown(before + 1, before + hits.length, total)] : []),
    ...(hits.length > 0 && after > 0 ? [`For more: --page ${page + 1}`] : []),
    ...(notStated > 0 ? [SAID.notStated(notStated)] : []),
    ...(lookedThroughAll ? [] : [SAID.mayBeMore]),
  ]
}
