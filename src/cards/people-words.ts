import { OPINION_WORDS, type Opinion, type OpinionKind } from '../consult/opinion.js'
import type { Person } from '../consult/people.js'
import { WORDS } from './words-en.js'

/** What one colleague thinks now. A folded consult's opinions have this shape. */
export interface Answer {
  readonly by: Person
  readonly opinion: Opinion
  /** The revision of the case that was answered, from 1. */
  readonly revision: number
  /** What they answered before, oldest first. */
  readonly earlier?: readonly { readonly opinion: Opinion }[]
}

/** "consultant, cornea · A. Name"; a grade that was not stated is said to be so. */
export function personInWords(person: Person): string {
  const standing = [person.grade ?? WORDS.gradeNotStated, person.field].filter((part) => part !== undefined).join(', ')
  return `${standing} · ${person.name}`
}

/** "Agree · consultant, cornea · A. Name: sentence". An answer to an older revision says so. */
export function opinionInWords(given: Answer, revisionNow: number): string {
  const { kind, steps, sentence, wouldChangeMind } = given.opinion
  const before = given.earlier?.at(-1)?.opinion
  const head = [
    OPINION_WORDS[kind],
    personInWords(given.by),
    ...(steps.length > 0 ? [WORDS.concerns(steps.map((step) => WORDS.steps[step]).join(', '))] : []),
    ...(before === undefined || before.kind === kind ? [] : [WORDS.changedFrom(OPINION_WORDS[before.kind])]),
    ...(given.revision === revisionNow ? [] : [WORDS.onRevision(given.revision)]),
  ].join(' · ')
  const said = sentence === undefined || sentence === '' ? head : `${head}: ${sentence}`
  return wouldChangeMind === undefined ? said : `${said} · ${WORDS.wouldChangeMind(wouldChangeMind)}`
}

/** Gravest first, so that a lone objection is never the one that falls below the first screen. */
const GRAVITY: Readonly<Record<OpinionKind, number>> = {
  'do-not-operate-on-this-plan': 0,
  'not-this-surgeon-alone': 1,
  'need-this-first': 2,
  'agree-with-changes': 3,
  agree: 4,
}

export const gravestFirst = (opinions: readonly Answer[]): readonly Answer[] =>
  [...opinions].sort((one, other) => GRAVITY[one.opinion.kind] - GRAVITY[other.opinion.kind])

/** "agree 2, need this first 1", in the order of gravity. */
export function tally(opinions: readonly Answer[]): string {
  const kinds = [...new Set(gravestFirst(opinions).map((given) => given.opinion.kind))]
  return kinds
    .map((kind) => `${OPINION_WORDS[kind]} ${opinions.filter((given) => given.opinion.kind === kind).length}`)
    .join(', ')
}
