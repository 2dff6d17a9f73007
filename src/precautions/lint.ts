import { factsOf, literalsOf, type Trigger } from './condition.js'
import type { FactName, FactRecord } from './facts.js'
import type { JsonPath } from './json-lines.js'
import { type Finding, findingOf, truthOf } from './kleene.js'
import { reach, tangledFacts } from './one-value-per-fact.js'
import type { Flaw } from './read-condition.js'
import { canonical } from './rules.js'
import type { PrecautionRule, TensionRule } from './schema.js'
import { obliges, promiseIn } from './wording.js'

/** Where a rule file stands: `rules/<folder>/<name>.json`. */
export interface Standing {
  readonly folder: string
  readonly name: string
}

/** Everything that the schema cannot see in one precaution. */
export const flawsOfRule = (rule: PrecautionRule, standing: Standing): readonly Flaw[] => [
  ...identityFlaws(rule.id, standing.name),
  ...(rule.theme === standing.folder
    ? []
    : [
        {
          path: ['theme'],
          message: `"${rule.theme}" stands in the folder "${standing.folder}"`,
          instead: 'move the file, or correct the theme',
        },
      ]),
  ...placeFlaws(rule),
  ...triggerFlaws(rule.when, ['when']),
  ...wordingFlaws(rule),
  ...evidenceFlaws(rule),
  ...sourceFlaws(rule.sources, ['sources']),
  ...exampleFlaws(rule),
]

export const flawsOfTension = (tension: TensionRule, standing: Standing): readonly Flaw[] => [
  ...identityFlaws(tension.id, standing.name),
  ...promiseFlaws({ question: tension.question }),
  ...tension.sides.flatMap((side, at) => [
    ...promiseFlaws({ pull: side.pull }, ['sides', at]),
    ...triggerFlaws(side.when, ['sides', at, 'when']),
    ...sourceFlaws(side.sources, ['sides', at, 'sources']),
  ]),
  ...tension.examples.fires.flatMap((facts, at) => exampleFlaw(bothSides(tension), facts, 'fires', ['examples', 'fires', at])),
  ...tension.examples.quiet.flatMap((facts, at) => exampleFlaw(bothSides(tension), facts, 'quiet', ['examples', 'quiet', at])),
]

/** A tension holds when both of its sides do. */
export const bothSides = (tension: Pick<TensionRule, 'sides'>): Trigger => ({ all: tension.sides.map(({ when }) => when) })

/** The wording a department may change, judged like the shipped wording. */
export const wordingFlaws = ({
  text,
  why,
  ask,
  evidence,
}: Pick<PrecautionRule, 'text' | 'evidence'> & Partial<Pick<PrecautionRule, 'why' | 'ask'>>): readonly Flaw[] => [
  ...promiseFlaws({ text, why, ask }),
  ...(obliges(text) && evidence !== 'guideline' && evidence !== 'trial'
    ? [
        {
          path: ['text'],
          message: `"must" stands on evidence of the kind "${evidence}"`,
          instead: 'say what to do without "must"; keep it for guideline and trial',
        },
      ]
    : []),
  ...(/[{}]/.test(text)
    ? [{ path: ['text'], message: 'braces are not filled in', instead: 'write the sentence as it is to be read' }]
    : []),
  ...(/[.?]$/.test(text) ? [] : [{ path: ['text'], message: 'the sentence has no end', instead: 'end it with a full stop' }]),
]

const identityFlaws = (id: string, name: string): readonly Flaw[] =>
  id === name
    ? []
    : [{ path: ['id'], message: `"${id}" stands in the file "${name}.json"`, instead: 'give the file and the id the same name' }]

function placeFlaws(rule: PrecautionRule): readonly Flaw[] {
  const always = 'always' in rule.when
  if (always === (rule.place === 'checklist')) return []
  return always
    ? [
        {
          path: ['when'],
          message: 'only what stands in the checklist may hold always',
          instead: 'say in which eyes it fires, or write "place": "checklist"',
        },
      ]
    : [
        {
          path: ['place'],
          message: 'the checklist holds for every operation, but this has a condition',
          instead: 'write "place": "eye", or "when": { "always": true }',
        },
      ]
}

function triggerFlaws(trigger: Trigger, path: JsonPath): readonly Flaw[] {
  const tangled = tangledFacts(trigger).map(({ fact, ...words }) => ({ path: pathOfFact(trigger, fact, path) ?? path, ...words }))
  if (tangled.length > 0 || 'always' in trigger) return tangled
  const { canFire, canStayQuiet } = reach(trigger)
  if (!canFire) return [{ path, message: 'this can never fire', instead: 'take out what contradicts itself' }]
  if (!canStayQuiet)
    return [{ path, message: 'this fires in every eye', instead: 'narrow the condition, or move it to the checklist' }]
  return []
}

function pathOfFact(trigger: Trigger, fact: FactName, path: JsonPath): JsonPath | undefined {
  if ('always' in trigger) return undefined
  if ('not' in trigger) return pathOfFact(trigger.not, fact, [...path, 'not'])
  if ('fact' in trigger) return trigger.fact === fact ? [...path, 'fact'] : undefined
  const [kind, parts] = 'all' in trigger ? (['all', trigger.all] as const) : (['any', trigger.any] as const)
  for (const [at, part] of parts.entries()) {
    const found = pathOfFact(part, fact, [...path, kind, at])
    if (found !== undefined) return found
  }
  return undefined
}

function promiseFlaws(texts: Readonly<Record<string, string | undefined>>, within: JsonPath = []): readonly Flaw[] {
  return Object.entries(texts).flatMap(([field, text]) => {
    const promise = text === undefined ? undefined : promiseIn(text)
    if (promise === undefined) return []
    return [{ path: [...within, field], message: `"${promise.words}" promises too much`, instead: promise.instead }]
  })
}

const evidenceFlaws = ({ evidence, sources }: PrecautionRule): readonly Flaw[] =>
  evidence === 'convention' || sources.some(({ sureness }) => sureness !== 'convention')
    ? []
    : [
        {
          path: ['evidence'],
          message: `"${evidence}", but every source is common practice`,
          instead: 'cite the paper, or write "convention"',
        },
      ]

/** A year that nobody has seen is said to be unseen, in words that a reader of the source meets. */
const sourceFlaws = (sources: PrecautionRule['sources'], path: JsonPath): readonly Flaw[] =>
  sources.flatMap(({ cite, year, sureness }, at) =>
    year !== undefined || sureness === 'convention' || /\byear\b[a-z ]* not seen\b/.test(cite)
      ? []
      : [{ path: [...path, at], message: 'the source has no year', instead: 'write "year", or "year not seen" in "cite"' }],
  )

/** A rule that only asks whether facts are known is decided in every eye; any other can be left open. */
const canBeOpen = (trigger: Trigger): boolean => literalsOf(trigger).some(({ comparison }) => comparison.operator !== 'isKnown')

function exampleFlaws({ when, ask, examples }: PrecautionRule): readonly Flaw[] {
  const flaws: Flaw[] = []
  for (const kind of ['fires', 'quiet', 'unknown'] as const) {
    for (const [at, facts] of (examples[kind] ?? []).entries())
      flaws.push(...exampleFlaw(when, facts, kind, ['examples', kind, at]))
  }
  if ('always' in when) return flaws
  if ((examples.quiet ?? []).length === 0) {
    flaws.push({
      path: ['examples', 'quiet'],
      message: 'there is no example that stays quiet',
      instead: 'state one eye in which it does not fire',
    })
  }
  if (canBeOpen(when) && (examples.unknown ?? []).length === 0) {
    flaws.push({
      path: ['examples', 'unknown'],
      message: 'there is no example that cannot be decided',
      instead: `leave one of ${factsOf(when).join(', ')} out`,
    })
  }
  if (canBeOpen(when) && ask === undefined) {
    flaws.push({ path: ['ask'], message: '"ask" is missing', instead: 'write the question to ask when it cannot be decided' })
  }
  return flaws
}

function exampleFlaw(when: Trigger, facts: Partial<FactRecord>, claimed: Finding, path: JsonPath): readonly Flaw[] {
  const found = findingOf(truthOf(when, facts))
  if (found === claimed) return []
  return [
    {
      path,
      message: `this example is said to be "${claimed}", but is "${found}"`,
      instead: 'correct the example or the condition',
    },
  ]
}

/** Condition and step in one text, whatever order the parts of an `all` or `any` are written in. */
export const sameMoment = (rule: Pick<PrecautionRule, 'step' | 'when'>): string => `${rule.step} ${canonical(inOrder(rule.when))}`

function inOrder(trigger: Trigger): unknown {
  if ('all' in trigger) return { all: trigger.all.map(inOrder).map(canonical).sort() }
  if ('any' in trigger) return { any: trigger.any.map(inOrder).map(canonical).sort() }
  if ('not' in trigger) return { not: inOrder(trigger.not) }
  return trigger
}
