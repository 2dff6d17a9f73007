import type { Eye } from '../terms/eye.js'
import { otherEye } from '../terms/eye.js'
import type { Gathered, Mention } from './gathered.js'
import type { Fault, Side } from './reading.js'

export interface EyeDecision {
  readonly operated?: Eye
  readonly mention?: Mention
  readonly assumed?: string
  readonly fault?: Fault
  /** Two eyes have measurements and nothing says which is to be operated. */
  readonly undecided: boolean
}

const NAMES: Readonly<Record<Eye, string>> = { right: 'right eye', left: 'left eye' }

/** Which eye is to be operated, from what the message says of each. Never guessed: two eyes without a word is a question back. */
export function decideEye({ mentions, facts }: Gathered): EyeDecision {
  const firstOf = (eye: Eye, list: readonly Mention[]): Mention | undefined => list.find((mention) => mention.eye === eye)
  const operated = mentions.filter((mention) => mention.operated)
  const bySaid: readonly Eye[] = (['right', 'left'] as const).filter((eye) => firstOf(eye, operated) !== undefined)
  const byName: readonly Eye[] = (['right', 'left'] as const).filter((eye) => firstOf(eye, mentions) !== undefined)
  if (bySaid.length === 2)
    return conflict(firstOf('right', operated), firstOf('left', operated), 'both are named as the eye to be operated')
  const [said] = bySaid
  if (said !== undefined) return withMention(said, firstOf(said, operated))
  const [only] = byName
  if (only !== undefined && byName.length === 1) return withMention(only, firstOf(only, mentions))
  if (only === undefined) return { undecided: false }
  const done = byName.filter((eye) =>
    facts.some(
      ({ what, side }) =>
        side === eye && what.field === 'lensStatus' && (what.value === 'pseudophakic' || what.value === 'aphakic'),
    ),
  )
  const [already] = done
  if (already !== undefined && done.length === 1) {
    const eye = otherEye(already)
    return withMention(
      eye,
      firstOf(eye, mentions),
      `the ${NAMES[already]} has no cataract any more, so the ${NAMES[eye]} is the one to be operated`,
    )
  }
  return conflict(
    firstOf('right', mentions),
    firstOf('left', mentions),
    'both have facts, and nothing says which is to be operated',
  )
}

const withMention = (operated: Eye, mention: Mention | undefined, assumed?: string): EyeDecision => ({
  operated,
  ...(mention === undefined ? {} : { mention }),
  ...(assumed === undefined ? {} : { assumed }),
  undecided: false,
})

function conflict(right: Mention | undefined, left: Mention | undefined, why: string): EyeDecision {
  const first =
    right !== undefined && left !== undefined && (left.tokens[0]?.start ?? 0) < (right.tokens[0]?.start ?? 0) ? left : right
  return {
    ...(first === undefined ? {} : { mention: first }),
    undecided: true,
    fault: {
      kind: 'contradiction',
      field: 'eye',
      blocks: true,
      message: `right eye (line ${right?.tokens[0]?.line ?? 1}) and left eye (line ${left?.tokens[0]?.line ?? 1}): ${why}.`,
      instead: 'operate RE or operate LE; begin what belongs to the other with "fellow eye"',
    },
  }
}

/** Where a statement about this side belongs once the eye is decided. */
export function belongsTo(side: Side, decision: EyeDecision): 'case' | 'fellow' | Eye {
  if (side === 'fellow') return 'fellow'
  if (side === undefined || side === decision.operated) return 'case'
  return decision.operated === undefined && decision.undecided ? side : 'fellow'
}
