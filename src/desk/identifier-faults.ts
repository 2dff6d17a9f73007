import { INPUT_WORDS } from '../cards/words-inputs-en.js'
import type { Delivery, Inbound } from './ports.js'

/**
 * The fields of a form that hold what may identify a patient, with which kind it is. Said in the open form, what was
 * typed is lost to nobody and kept by nobody.
 */
export function identifierFaults(
  inbound: Extract<Inbound, { kind: 'form' }>,
  receive: (inbound: Inbound, key: string) => Delivery,
): Readonly<Record<string, string>> {
  const faults: Record<string, string> = {}
  for (const [field, value] of Object.entries(inbound.values)) {
    const { inbound: judged } = receive({ ...inbound, values: { [field]: value } }, field)
    if (judged.kind !== 'refused-identifiers') continue
    faults[field] = INPUT_WORDS.identifies([...new Set(judged.found.map(({ kind }) => kind.replaceAll('-', ' ')))].join(', '))
  }
  return faults
}
