import type { Plan } from '../plan/plan.js'
import { SURENESS_WORDS, type Sureness } from '../terms/source.js'
import type { Section } from './card.js'
import { WORDS } from './words-en.js'
import { PLAN_PHRASES } from './words-of-plans-en.js'

export interface Cited {
  readonly cite: string
  readonly year?: number | undefined
  readonly sureness: Sureness
}

/** "Author A. Journal 2011;37:2018 (from memory of the source, awaiting a check in print)". */
export const sourceInWords = (source: Cited): string => {
  const year = source.year === undefined || source.cite.includes(String(source.year)) ? '' : `, ${source.year}`
  return source.cite === SURENESS_WORDS[source.sureness]
    ? source.cite
    : `${source.cite}${year} (${SURENESS_WORDS[source.sureness]})`
}

const YEAR = /\b(?:19|20)\d{2}\b/

/** "Han 2020" from "Han JV, Patel DV, … 2020;48:311-8"; a source without authors keeps the beginning of its title. */
function nameOf(cite: string, year: number | undefined): string {
  const surname = /^(\p{L}[\p{L}'’ -]*?) \p{Lu}{1,3}(?=,|\.| and | et al|\s*$|\s\d)/u.exec(cite)?.[1]
  const name = surname ?? /^[^,.:;]+/.exec(cite)?.[0] ?? cite
  const when = year ?? YEAR.exec(cite)?.[0]
  return when === undefined || name.includes(String(when)) ? name : `${name} ${when}`
}

/** Several works cited in one breath, each by itself. */
const worksOf = (cite: string): readonly string[] => cite.split(/; (?=\p{Lu})|\. (?=The )/u)

const isPractice = (source: Cited): boolean => source.cite.startsWith(PLAN_PHRASES.commonPractice)

/** The source as a list shows it: "Han 2020", "common practice"; what is recalled and not re-read says so. */
export function sourceBriefly(source: Cited): string {
  if (isPractice(source) && !source.cite.includes(';')) return WORDS.commonPractice
  const works = worksOf(source.cite)
  const names = works
    .filter((work) => !work.startsWith(PLAN_PHRASES.untitledAuthor))
    .map((work) =>
      work.startsWith(PLAN_PHRASES.commonPractice)
        ? WORDS.commonPractice
        : nameOf(work, works.length === 1 ? source.year : undefined),
    )
  return `${[...new Set(names)].join(', ')}${source.sureness === 'memory' ? ` (${WORDS.fromMemory})` : ''}`
}

/** Sources in brief, each once, in brackets after what they support: "[Han 2020; common practice]". */
export const inBrackets = (sources: readonly Cited[]): string =>
  sources.length === 0 ? '' : `[${[...new Set(sources.map(sourceBriefly))].join('; ')}]`

/** Where a work stands, so that one that is cited in two ways is listed once. */
function placeOf(cite: string): string {
  const place = /;(\d+)(?:\([^)]*\))?:(\d+)/.exec(cite)
  return place === null ? cite : `${nameOf(cite, undefined)} ${place[1]}:${place[2]}`
}

/** Each work that a source names, by itself; common practice names none. */
function singly(source: Cited): readonly Cited[] {
  const works = worksOf(source.cite).filter(
    (work) => !work.startsWith(PLAN_PHRASES.commonPractice) && !work.startsWith(PLAN_PHRASES.untitledAuthor),
  )
  return works.length === 1 ? [source] : works.map((cite) => ({ cite, sureness: source.sureness }))
}

/** Works behind the lens beyond its formulas. */
const lensSources = ({ forecast, fellow, toric, separateConstants }: Plan['lens']): readonly Cited[] => [
  ...(forecast?.contributions.map((each) => each.source) ?? []),
  ...(forecast?.biases.map((each) => each.source) ?? []),
  ...(fellow?.source ? [fellow.source] : []),
  ...(fellow?.secondEye ? [fellow.secondEye.source] : []),
  ...(toric?.estimates.map((each) => each.source) ?? []),
  ...(separateConstants ? [separateConstants.objectionSource, ...separateConstants.pairs.map((pair) => pair.source)] : []),
]

/** Every work that the plan cites, once and in full, with how it was seen. */
export function sourcesSection(plan: Plan): readonly Section[] {
  const cited: readonly Cited[] = [
    ...plan.precautions.filter((one) => one.finding !== 'quiet').flatMap((one) => one.sources),
    ...plan.tensions.flatMap((tension) => tension.sides.flatMap((side) => side.sources)),
    ...plan.risks.map((risk) => risk.source),
    ...plan.surgery.map((figure) => figure.source),
    ...plan.biometryChecks.map((check) => check.source),
    ...lensSources(plan.lens),
  ]
  const works = new Map<string, { cite: string; seen: Set<string> }>()
  for (const source of cited.flatMap(singly)) {
    const work = works.get(placeOf(source.cite)) ?? { cite: source.cite, seen: new Set() }
    const year = source.year === undefined || source.cite.includes(String(source.year)) ? '' : `, ${source.year}`
    if (source.cite.length >= work.cite.length) work.cite = `${source.cite}${year}`
    work.seen.add(SURENESS_WORDS[source.sureness])
    works.set(placeOf(source.cite), work)
  }
  const items = [...works.values()].map(({ cite, seen }) => `${cite} (${[...seen].join('; ')})`).sort()
  return items.length === 0
    ? []
    : [{ id: 'sources', title: WORDS.sections.sources, where: 'page', blocks: [{ kind: 'list', items }] }]
}
