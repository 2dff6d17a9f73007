import type { ChainEnd } from './seals.js'

/**
 * How far each of the three logs of a trail reached at one moment. Noted where nobody who can write to the trail can, it proves
 * later that everything up to it is still there as it was.
 */
export interface Checkpoint {
  readonly events: ChainEnd
  readonly acts: ChainEnd
  readonly accesses: ChainEnd
  /** How many transactions had changed what is sealed. */
  readonly changes: number
}

export const checkpointText = ({ events, acts, accesses, changes }: Checkpoint): string =>
  [...[events, acts, accesses].map(({ rows, head }) => `${rows}-${head}`), String(changes)].join('.')

const END = String.raw`(\d{1,15})-([0-9a-f]{64})`
const CHECKPOINT = new RegExp(`^${END}\\.${END}\\.${END}\\.(\\d{1,15})$`)

/** @returns nothing where the text is no checkpoint */
export function readCheckpoint(text: string): Checkpoint | undefined {
  const found = CHECKPOINT.exec(text)
  if (!found) return undefined
  const end = (at: number): ChainEnd => ({ rows: Number(found[at]), head: found[at + 1] ?? '' })
  return { events: end(1), acts: end(3), accesses: end(5), changes: Number(found[7]) }
}
