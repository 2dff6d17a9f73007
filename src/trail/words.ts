import type { Plan } from '../plan/plan.js'
import { eyeInFull } from '../terms/eye.js'
import { lensPower } from '../terms/power.js'

/**
 * The words by which a search finds a consult: the facts in the trade's words, the asker's own words for them,
 * the question, and the themes of the precautions that fire.
 */
export function searchWords(plan: Plan): string {
  const words = [
    ...sideWords(plan.case),
    ...sizeWords(plan.case),
    ...spoken(plan.case),
    ...(plan.lens.recommended ? [`lens ${lensPower(plan.lens.recommended.powerD)}`] : []),
    ...plan.precautions.filter(({ finding }) => finding === 'fires').map(({ theme }) => unhyphened(theme)),
  ]
  return [...new Set(words)].join('; ')
}

const SIDE_SHORT = { left: 'LE', right: 'RE' } as const

const sideWords = ({ eye }: Plan['case']): readonly string[] => (eye ? [`${eyeInFull(eye.value)} ${SIDE_SHORT[eye.value]}`] : [])

// What a colleague calls the eye: from 26 mm it is a long one, under 22 mm a short one (common practice, no source).
function sizeWords({ axialLengthMm }: Plan['case']): readonly string[] {
  if (!axialLengthMm) return []
  const { value } = axialLengthMm
  const size = value >= 26 ? ['long eye', 'high myopia'] : value < 22 ? ['short eye'] : []
  return [`AL ${value.toFixed(2)} mm`, ...size]
}

const unhyphened = (text: string): string => text.replaceAll('-', ' ')

/** "axialLengthMethod" as "axial length method"; the unit at the end stays a word of its own. */
const fieldWords = (key: string): string => key.replace(/([a-z])([A-Z])/g, '$1 $2').toLowerCase()

// Every stated value of the case with its name, its canonical word and the words it was read from.
function spoken(given: Plan['case']): readonly string[] {
  const found: string[] = []
  const visit = (key: string, part: unknown): void => {
    if (typeof part !== 'object' || part === null) return
    if (!('value' in part && 'source' in part)) {
      for (const [name, inner] of Object.entries(part)) visit(name, inner)
      return
    }
    const { value, source } = part
    if (value === true) found.push(fieldWords(key))
    if (typeof value === 'string') found.push(key === 'question' ? value : `${fieldWords(key)} ${unhyphened(value)}`)
    if (typeof value === 'object' && value !== null && 'band' in value) found.push(`nucleus ${unhyphened(String(value.band))}`)
    if (typeof source === 'string' && source !== value) found.push(source)
  }
  for (const [key, part] of Object.entries(given)) if (key !== 'notUnderstood') visit(key, part)
  return found
}
