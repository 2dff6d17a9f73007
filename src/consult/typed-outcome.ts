import {
  COMPLICATIONS,
  CONVERSIONS,
  type Complication,
  complicationWords,
  OUTCOME_STAGES,
  type Outcome,
  type OutcomeStage,
  outcomeSchema,
} from './outcome.js'
import { readRefraction, readSigned } from './signed-power.js'

export type TypedOutcome = { readonly outcome: Outcome } | { readonly problems: readonly string[] }

/** What the trade calls a complication in short. */
const SHORT: readonly (readonly [RegExp, Complication])[] = [
  [/^(?:PCR|PC rupture|PC rent|capsule rupture)$/iu, 'posterior-capsule-rupture'],
  [/^(?:VL|vitreous)$/iu, 'vitreous-loss'],
  [/^(?:zonular loss|zonulysis)$/iu, 'zonular-dialysis'],
  [/^(?:dropped lens|nucleus drop|dropped fragments?)$/iu, 'dropped-nucleus'],
  [/^(?:anterior capsul(?:e|ar) tear|rhexis tear|radial tear)$/iu, 'anterior-capsule-tear'],
  [/^(?:suprachoroidal h(?:a)?emorrhage|expulsive h(?:a)?emorrhage)$/iu, 'suprachoroidal-haemorrhage'],
  [/^(?:CMO|CME|macular oedema|macular edema)$/iu, 'cystoid-macular-oedema'],
  [/^(?:RD)$/iu, 'retinal-detachment'],
  [/^(?:PCO)$/iu, 'posterior-capsule-opacification'],
  [/^(?:TASS)$/iu, 'toxic-anterior-segment-syndrome'],
  [/^(?:raised IOP|high IOP|pressure spike)$/iu, 'raised-pressure'],
  [/^(?:wrong lens|wrong IOL)$/iu, 'wrong-lens-implanted'],
  [/^(?:corneal edema)$/iu, 'corneal-oedema'],
  [/^(?:hyphema)$/iu, 'hyphaema'],
]

export function complicationNamed(words: string): Complication | undefined {
  const name = words.trim().toLowerCase().replace(/\s+/gu, ' ')
  return (
    COMPLICATIONS.find((one) => complicationWords(one) === name || one === name) ?? SHORT.find(([short]) => short.test(name))?.[1]
  )
}

const STAGES: readonly (readonly [RegExp, OutcomeStage])[] = [
  [/^(?:operation|operated|theatre|surgery)\b\s*:?\s*/iu, 'operation'],
  [/^(?:first[ -]weeks|first[ -]week|day 1|week 1)\b\s*:?\s*/iu, 'first-weeks'],
  [/^(?:four[ -]to[ -]six[ -]weeks|(?:4|5|6|4-6|4\u20136|4 to 6) ?(?:weeks|wk|w))\b\s*:?\s*/iu, 'four-to-six-weeks'],
  [/^(?:twelve[ -]months|12 ?(?:months|mo|m)|1 year|one year)\b\s*:?\s*/iu, 'twelve-months'],
  [/^near[ -]miss\b\s*:?\s*/iu, 'near-miss'],
]

type Draft = { -readonly [Key in keyof Outcome]?: Outcome[Key] }
type Part = (said: string, into: Draft, problems: string[]) => void

const number =
  (name: string, keep: (value: number, into: Draft) => void): Part =>
  (said, into, problems) => {
    const match = /^(?<digits>\d[\d\u202f]*(?:[.,]\d+)?)\s*(?:s|sec(?:onds)?|mmHg|cells.*)?$/iu.exec(
      said.replace(/(?<=\d),(?=\d{3}\b)/gu, ''),
    )
    if (match) keep(Number((match.groups?.['digits'] ?? '').replace(',', '.')), into)
    else problems.push(`“${said}” is not a number for ${name}.`)
  }

function complications(said: string, into: Draft, problems: string[]): void {
  if (/^(?:none|no|nil)$/iu.test(said)) {
    into.complications = []
    return
  }
  const found: Complication[] = []
  for (const word of said.split(/\s*,\s*|\s+and\s+/iu)) {
    const named = complicationNamed(word)
    if (named) found.push(named)
    else
      problems.push(
        `“${word}” is no complication of the list. Write it as a note, or one of: ${COMPLICATIONS.map(complicationWords).join(', ')}`,
      )
  }
  into.complications = [...new Set([...(into.complications ?? []), ...found])]
}

const PARTS: readonly (readonly [RegExp, Part])[] = [
  [
    /^(?:on)\s+(?=\d)/iu,
    (said, into) => {
      into.on = said
    },
  ],
  [
    /^(?:lens|IOL|implanted)\s*(?::\s*|\s+)/iu,
    (said, into, problems) => {
      const [power = '', ...label] = said.replace(/(?<=\d)\s*D\b/u, '').split(/\s+/u)
      const reading = readSigned(power, 'lens power')
      if ('problem' in reading) problems.push(reading.problem)
      else into.lens = { powerD: reading.value, ...(label.length === 0 ? {} : { label: label.join(' ') }) }
    },
  ],
  [
    /^(?:refraction|SE|spherical equivalent)\s*(?::\s*|\s+)/iu,
    (said, into, problems) => {
      const reading = readRefraction(said)
      if ('problem' in reading) problems.push(reading.problem)
      else into.refractionD = reading.value
    },
  ],
  [
    /^(?:acuity|VA|BCVA|UCVA)\s*(?::\s*|\s+)/iu,
    (said, into) => {
      into.acuity = said
    },
  ],
  [/^complications?\s*(?::\s*|\s+)/iu, complications],
  [
    /^(?=(?:no complications?|uncomplicated)$)/iu,
    (_said, into) => {
      into.complications = []
    },
  ],
  [
    /^(?=not converted$)/iu,
    (_said, into) => {
      into.conversion = 'none'
    },
  ],
  [
    /^(?:conversion|converted(?: to)?)\s*(?::\s*|\s+)/iu,
    (said, into, problems) => {
      const named = CONVERSIONS.find((one) => one.replaceAll('-', ' ') === said.toLowerCase().replaceAll('-', ' '))
      if (named) into.conversion = named
      else
        problems.push(`“${said}” is no conversion of the list: ${CONVERSIONS.map((one) => one.replaceAll('-', ' ')).join(', ')}`)
    },
  ],
  [
    /^(?:ultrasound|US)\s*(?::\s*|\s+)/iu,
    number('ultrasound', (value, into) => {
      into.energy = { ...into.energy, ultrasoundSeconds: value }
    }),
  ],
  [
    /^(?:effective phaco time|EPT)\s*(?::\s*|\s+)/iu,
    number('effective phaco time', (value, into) => {
      into.energy = { ...into.energy, effectivePhacoSeconds: value }
    }),
  ],
  [
    /^(?:cell density|cell count|ECD)\s*(?::\s*|\s+)/iu,
    number('cell density', (value, into) => {
      into.endothelialCellsPerMm2 = value
    }),
  ],
  [
    /^(?:IOP|pressure)\s*(?::\s*|\s+)/iu,
    number('pressure', (value, into) => {
      into.pressureMmHg = value
    }),
  ],
  [
    /^note\s*(?::\s*|\s+)/iu,
    (said, into) => {
      into.note = joined(into.note, said)
    },
  ],
]

const joined = (former: string | undefined, more: string): string => (former === undefined ? more : `${former}; ${more}`)

/** `STAGE; lens +9.0; refraction -1.50; acuity 6/9; complications none; …`. Words of no other part are kept as the note. */
export function typedOutcome(text: string): TypedOutcome {
  const into: Draft = {}
  const problems: string[] = []
  let rest = text.trim()
  for (const [opens, stage] of STAGES) {
    if (into.stage === undefined && opens.test(rest)) {
      into.stage = stage
      rest = rest.replace(opens, '')
    }
  }
  if (into.stage === undefined) {
    return {
      problems: [
        `Say first when it was looked at: ${OUTCOME_STAGES.map((stage) => stage.replaceAll('-', ' ')).join(', ')}. Such as: outcome: operation; lens +9.0; complications none`,
      ],
    }
  }
  for (const part of rest.split(/\s*[;\n]\s*/u)) {
    if (part.trim() === '') continue
    const found = PARTS.find(([opens]) => opens.test(part))
    // A rupture written without its heading must not end as a remark.
    const named = found === undefined ? part.split(/\s*,\s*|\s+and\s+/iu).filter((word) => complicationNamed(word)) : []
    if (named.length > 0) {
      complications(named.join(', '), into, problems)
      if (named.join(', ').length < part.trim().length - 4) into.note = joined(into.note, part.trim())
    } else if (found === undefined) into.note = joined(into.note, part.trim())
    else found[1](part.replace(found[0], '').trim(), into, problems)
  }
  if (problems.length > 0) return { problems }
  return outcomeOf(into)
}

/** The outcome where its values are possible ones, else what is wrong with which. */
export function outcomeOf(given: unknown): TypedOutcome {
  const read = outcomeSchema.safeParse(given)
  if (read.success) return { outcome: read.data }
  return { problems: read.error.issues.map(({ path, message }) => `${path.map(String).join(' ')}: ${message}`) }
}
