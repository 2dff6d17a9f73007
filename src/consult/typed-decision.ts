import type { Decided } from './decided.js'
import { readSigned } from './signed-power.js'

export type TypedDecision = { readonly decision: Decided } | { readonly problems: readonly string[] }

const HOW = 'Write: decide: A …; B …; if …; operates …; lens +9.0'

const BECAUSE = /\s+because:?\s+/iu

/** What stands before and after the first "because". */
function reasoned(text: string): { readonly what: string; readonly because: string } {
  const [what = '', ...rest] = text.split(BECAUSE)
  return { what: what.trim().replace(/\s+because:?$/iu, ''), because: rest.join(' because ').trim() }
}

const names = (text: string): readonly string[] =>
  text
    .split(/\s*,\s*|\s+and\s+/iu)
    .map((name) => name.replace(/^@/, '').trim())
    .filter((name) => name !== '')

interface Gathered {
  planA?: string
  planB?: string
  trigger?: string
  operates?: string
  lens?: { powerD: number; label?: string }
  lensBecause?: string
  follows: string[]
  departs: { from: string; because: string }[]
  overrides: { precaution: string; because: string }[]
  problems: string[]
}

const PARTS: readonly (readonly [RegExp, (said: string, into: Gathered) => void])[] = [
  [
    /^(?:plan\s+)?A\s*(?::\s*|\s+)/u,
    (said, into) => {
      into.planA = said
    },
  ],
  [
    /^(?:plan\s+)?B\s*(?::\s*|\s+)/u,
    (said, into) => {
      into.planB = said
    },
  ],
  [
    /^(?:if|trigger)\s*(?::\s*|\s+)/iu,
    (said, into) => {
      into.trigger = said
    },
  ],
  [
    /^(?:operates|surgeon)\s*(?::\s*|\s+)/iu,
    (said, into) => {
      into.operates = said
    },
  ],
  [/^(?:lens|IOL)\s*(?::\s*|\s+)/iu, lens],
  [
    /^follows\s*(?::\s*|\s+)/iu,
    (said, into) => {
      into.follows.push(...names(said))
    },
  ],
  [
    /^(?:not|departs from)\s*(?::\s*|\s+)/iu,
    (said, into) => {
      const { what, because } = reasoned(said)
      into.departs.push({ from: what.replace(/^@/, ''), because })
    },
  ],
  [
    /^overrides?\s*(?::\s*|\s+)/iu,
    (said, into) => {
      const { what, because } = reasoned(said)
      into.overrides.push({ precaution: what.toLowerCase(), because })
    },
  ],
]

function lens(said: string, into: Gathered): void {
  const { what, because } = reasoned(said)
  const match = /^(?<power>\S+(?:\s+(?=[\d])\S+)?(?:\s*(?:D|dpt)(?=\s|$))?)\s*(?<label>.*)$/isu.exec(what)
  const reading = readSigned(match?.groups?.['power'] ?? what, 'lens power')
  if ('problem' in reading) {
    into.problems.push(reading.problem)
    return
  }
  const label = match?.groups?.['label']?.trim() ?? ''
  into.lens = { powerD: reading.value, ...(label === '' ? {} : { label }) }
  if (because !== '') into.lensBecause = because
}

/** `A …; B …; if …; operates …; lens +9.0; follows NAME; not NAME because …; override PRECAUTION because …`. */
export function typedDecision(text: string): TypedDecision {
  const into: Gathered = { follows: [], departs: [], overrides: [], problems: [] }
  for (const part of text.split(/\s*[;\n]\s*/u)) {
    if (part.trim() === '') continue
    const found = PARTS.find(([opens]) => opens.test(part))
    if (found === undefined) into.problems.push(`“${part.trim()}” is not understood as a part of a decision. ${HOW}`)
    else found[1](part.replace(found[0], '').trim(), into)
  }
  const { problems, planA = '', operates = '', ...rest } = into
  return problems.length > 0 ? { problems } : { decision: { ...rest, planA, operates } }
}
