import { type Computed, explainSurprise, type OperatedEye, type Surprise } from '../src/plan/after-surgery.js'
import { EYES, eyeInFull } from '../src/terms/eye.js'
import type { ExitCode, Terminal } from './plan-command.js'

/** As typed; every value is text until it has been checked. */
export interface SurpriseOptions {
  readonly eye?: string
  readonly implanted?: string
  readonly predicted?: string
  readonly achieved?: string
  readonly keratometry?: string
  readonly wanted?: string
  readonly lensPosition?: string
  readonly axialLength?: string
  readonly aConstant?: string
  readonly addedLensPosition?: string
  readonly json?: boolean
}

interface Numbered {
  readonly option: string
  readonly low: number
  readonly high: number
  readonly unit: string
  /** Whether the sign must be written: a refraction or a lens power without one is a trap. */
  readonly signed?: boolean
  readonly example: string
}

const NUMBERS = {
  implanted: { option: '--implanted', low: -30, high: 60, unit: 'D', signed: true, example: '+9.0' },
  predicted: { option: '--predicted', low: -35, high: 25, unit: 'D', signed: true, example: '-1.75' },
  achieved: { option: '--achieved', low: -35, high: 25, unit: 'D', signed: true, example: '+0.50' },
  wanted: { option: '--wanted', low: -35, high: 25, unit: 'D', signed: true, example: '-1.75' },
  keratometry: { option: '--keratometry', low: 30, high: 60, unit: 'D', example: '42.65' },
  lensPosition: { option: '--lens-position', low: 1, high: 9, unit: 'mm', example: '5.60' },
  axialLength: { option: '--axial-length', low: 15, high: 40, unit: 'mm', example: '29.60' },
  aConstant: { option: '--a-constant', low: 95, high: 130, unit: '', example: '118.9' },
  addedLensPosition: { option: '--added-lens-position', low: 1, high: 9, unit: 'mm', example: '4.50' },
} as const satisfies Readonly<Partial<Record<keyof SurpriseOptions, Numbered>>>
type NumberName = keyof typeof NUMBERS

function readNumber(name: NumberName, text: string): number | { readonly fault: string } {
  const { option, low, high, unit, example, ...rest }: Numbered = NUMBERS[name]
  const wrong = (why: string) => ({ fault: `${option} "${text}": ${why} Write instead: ${option} ${example}` })
  const plain = text
    .trim()
    .replace(/[\u2212\u2013]/g, '-')
    .replace(',', '.')
  if (!/^[+-]?\d+(\.\d+)?$/.test(plain)) return wrong('this is not a number.')
  const value = Number(plain)
  if (rest.signed && value !== 0 && !/^[+-]/.test(plain)) return wrong('the sign is missing, plus or minus.')
  if (value < low || value > high) return wrong(`it is outside ${low} to ${high} ${unit}.`.replace(' .', '.'))
  return value
}

function read(options: SurpriseOptions): { readonly given: OperatedEye } | { readonly faults: readonly string[] } {
  const faults: string[] = []
  const numbers: Partial<Record<NumberName, number>> = {}
  for (const name of Object.keys(NUMBERS) as NumberName[]) {
    const text = options[name]
    if (text === undefined) continue
    const value = readNumber(name, text)
    if (typeof value === 'number') numbers[name] = value
    else faults.push(value.fault)
  }
  const need = (name: NumberName): number => {
    const value = numbers[name]
    if (value === undefined && options[name] === undefined) {
      faults.push(`${NUMBERS[name].option} is missing. Write: ${NUMBERS[name].option} ${NUMBERS[name].example}`)
    }
    return value ?? Number.NaN
  }
  const eye = EYES.find((each) => each === options.eye?.toLowerCase())
  if (!eye) faults.push('--eye is missing or unknown. Write: --eye left, or --eye right')
  const [implantedD, predictedD, achievedD] = [need('implanted'), need('predicted'), need('achieved')]
  const keratometryD = need('keratometry')
  const { lensPosition, axialLength, aConstant } = numbers
  const position: OperatedEye['position'] =
    lensPosition !== undefined
      ? { kind: 'stated', lensPositionMm: lensPosition }
      : { kind: 'from-constants', axialLengthMm: axialLength ?? Number.NaN, aConstant: aConstant ?? Number.NaN }
  if (options.lensPosition === undefined && (axialLength === undefined || aConstant === undefined)) {
    faults.push('The lens position is missing. Write: --lens-position 5.60, or --axial-length 29.60 --a-constant 118.9')
  }
  if (faults.length > 0 || !eye) return { faults }
  const { wanted, addedLensPosition } = numbers
  return {
    given: {
      eye,
      implantedD,
      predictedD,
      achievedD,
      keratometryD,
      wantedD: wanted,
      position,
      addedLensPositionMm: addedLensPosition,
    },
  }
}

/** `soundings surprise`: why an eye ended where it did, and the power to exchange or to add, from its refraction alone. */
export function surpriseCommand(options: SurpriseOptions, terminal: Terminal): ExitCode {
  const checked = read(options)
  if ('faults' in checked) {
    for (const fault of checked.faults) terminal.err(`${fault}\n`)
    return 2
  }
  const surprise = explainSurprise(checked.given)
  if ('kind' in surprise) {
    terminal.err(`${surprise.reason}\n`)
    return 2
  }
  terminal.out(options.json ? `${JSON.stringify(surprise, null, 2)}\n` : inWords(surprise))
  return 0
}

function inWords({ eye, words, lensPositionMm, equivalents, causes, exchange, added, caveats }: Surprise): string {
  const listed = (title: string, items: readonly string[]) =>
    items.length === 0 ? [] : ['', title, ...items.map((item) => `  - ${item}`)]
  const power = (of: Computed) => [of.words, ...(of.working ? [`${of.working.equation} (${of.working.source.cite})`] : [])]
  const lines = [
    `${eyeInFull(eye)}. ${words}.`,
    `Lens at ${lensPositionMm.toFixed(2)} mm behind the cornea.`,
    ...listed(
      'Any one of these alone would explain it:',
      equivalents.map((each) => each.words),
    ),
    ...listed(
      'What to look at:',
      causes.map(({ cause, check, source }) => `${cause}; check ${check} (${source})`),
    ),
    ...listed('By the refraction alone:', [...power(exchange), ...(added ? power(added) : [])]),
    ...listed('Mind:', [...caveats, 'Supports the judgement of a licensed surgeon; local protocols come first.']),
  ]
  return `${lines.join('\n')}\n`
}
