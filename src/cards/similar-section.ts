import { DENSITY_BANDS } from '../case/nuclear-density.js'
import { lensPower, refraction } from '../terms/power.js'
import type { NumberFact } from '../trail/features.js'
import type { Compared, Similar } from '../trail/similar-cases.js'
import type { Block, Section } from './card.js'
import { spoken } from './case-words.js'
import { capitalised, dayInWords, withThousands } from './figures.js'
import { WORDS } from './words-en.js'
import { FIGURE_WORDS } from './words-figures-en.js'
import { SIMILAR_WORDS as SAID } from './words-similar-en.js'

interface Figure {
  readonly say: (value: number) => string
  readonly unit: string
}
const fixed = (digits: number, unit: string): Figure => ({ say: (value) => value.toFixed(digits), unit: ` ${unit}` })
const whole = (unit: string): Figure => ({ say: withThousands, unit: ` ${unit}` })

/** Powers and refractions bring their sign and their unit with them. */
const FIGURES: Readonly<Record<NumberFact, Figure>> = {
  axialLengthMm: fixed(2, 'mm'),
  meanKeratometryD: fixed(2, 'D'),
  anteriorChamberDepthMm: fixed(2, 'mm'),
  lensThicknessMm: fixed(2, 'mm'),
  centralCornealThicknessUm: whole('µm'),
  whiteToWhiteMm: fixed(1, 'mm'),
  pupilDilatedMm: fixed(1, 'mm'),
  endothelialCellDensityPerMm2: whole('cells/mm²'),
  intraocularPressureMmHg: whole('mmHg'),
  ageYears: { say: (value) => (value >= 90 ? WORDS.ninetyOrOver : String(value)), unit: FIGURE_WORDS.years },
  targetRefractionD: { say: refraction, unit: '' },
  recommendedPowerD: { say: lensPower, unit: '' },
  nucleusStep: { say: (value) => spoken(DENSITY_BANDS[value] ?? SAID.unknownBand), unit: '' },
}

/** "AL 29.40 vs 29.60 mm", "both no fundal view", "pseudoexfoliation here, not there". */
export function comparedInWords(compared: Compared): string {
  switch (compared.kind) {
    case 'number': {
      const { say, unit } = FIGURES[compared.fact]
      const name = SAID.numbers[compared.fact]
      const [there, here] = [say(compared.there), say(compared.here)]
      if (there !== here) return SAID.versus(name, there, here, unit)
      return compared.fact === 'nucleusStep' ? SAID.both(`${here} ${name}`) : SAID.same(name, here, unit)
    }
    case 'word': {
      const words = (value: string) =>
        SAID.sayings[`${compared.fact} ${value}`] ?? `${SAID.words[compared.fact]} ${spoken(value)}`
      return compared.there === compared.here
        ? SAID.both(words(compared.here))
        : SAID.versus('', words(compared.there), words(compared.here), '').trim()
    }
    case 'yes-no': {
      const words = SAID.yesNo[compared.fact]
      if (compared.there && compared.here) return SAID.both(words)
      return compared.there ? SAID.onlyThere(words) : SAID.onlyHere(words)
    }
    default:
      return unreachable(compared)
  }
}

/** On the first screen a phone has room for this many reasons. */
const REASONS = 3

/** One line for the card: how many there are, and why the nearest is near. */
export function similarLine(found: readonly Similar[]): Block {
  const [nearest] = found
  const reasons = nearest?.alike.slice(0, REASONS).map(comparedInWords).join(', ')
  const text =
    nearest === undefined
      ? SAID.none
      : [SAID.count(found.length), ...(reasons ? [SAID.nearest(nearest.row.ref, reasons)] : [])].join(' ')
  return { kind: 'fact', label: SAID.label, text }
}

/** The cases themselves: why each is near, where it is not, what was decided and what came of it. */
export function similarSection(found: readonly Similar[]): Section {
  return {
    id: 'similar',
    title: SAID.title,
    blocks: [
      ...(found.length === 0 ? [{ kind: 'line', text: capitalised(SAID.none), weight: 'plain' } as const] : []),
      ...found.flatMap(caseBlocks),
      ...(found.length === 0 ? [] : [{ kind: 'line', text: SAID.order, weight: 'quiet' } as const]),
      { kind: 'line', text: SAID.convention, weight: 'quiet' },
    ],
  }
}

function caseBlocks({ row, alike, unlike, notKnownThere }: Similar): readonly Block[] {
  const { decision, outcome, numbers } = row
  const recommended = numbers.recommendedPowerD
  const head = [
    row.ref,
    dayInWords(row.askedAt),
    ...(recommended === undefined ? [] : [SAID.recommended(lensPower(recommended))]),
  ]
  const fact = (label: string, words: readonly string[]): readonly Block[] =>
    words.length === 0 ? [] : [{ kind: 'fact', label, text: words.join(', ') }]
  const decided = decision && [decision.planA, ...(decision.lensD === undefined ? [] : [SAID.lens(lensPower(decision.lensD))])]
  return [
    { kind: 'line', text: head.join(' · '), weight: 'strong' },
    ...fact(SAID.alike, alike.map(comparedInWords)),
    ...fact(SAID.unlike, unlike.map(comparedInWords)),
    ...fact(
      SAID.notKnown,
      notKnownThere.map((name) => NAMES[name] ?? name),
    ),
    ...fact(SAID.decision, decided ?? [SAID.noDecision]),
    ...fact(SAID.outcome, [outcome ?? SAID.noOutcome]),
  ]
}

const NAMES: Readonly<Record<string, string>> = { ...SAID.numbers, ...SAID.words, ...SAID.yesNo }

function unreachable(value: never): never {
  throw new Error(`Unknown ${JSON.stringify(value)}`)
}
