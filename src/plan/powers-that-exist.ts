import type { Lens } from '../case/lens-list.js'

export interface ExistingPower {
  /** Dioptres, signed. */
  readonly powerD: number
  readonly supply: 'in-stock' | 'to-order' | 'assumed-steps'
  readonly orderDays?: number
}

const ASSUMED_LOWEST_D = -20
const ASSUMED_HIGHEST_D = 40
const ASSUMED_STEP_D = 0.5

/** Hundredths avoid the drift of adding 0.1 many times. */
const hundredths = (value: number): number => Math.round(value * 100)

function run(fromD: number, toD: number, stepD: number, supply: Omit<ExistingPower, 'powerD'>): ExistingPower[] {
  const powers: ExistingPower[] = []
  for (let power = hundredths(fromD); power <= hundredths(toD); power += hundredths(stepD)) {
    powers.push({ powerD: power / 100, ...supply })
  }
  return powers
}

/**
 * The powers this lens is made in, lowest first, each once; where runs overlap the one in stock wins.
 * Without a lens half-dioptre steps are assumed, and that is said.
 */
export function powersThatExist(lens: Lens | undefined): readonly ExistingPower[] {
  if (!lens) return ASSUMED
  const powers = powersOf.get(lens) ?? powersMade(lens)
  powersOf.set(lens, powers)
  return powers
}

const ASSUMED = run(ASSUMED_LOWEST_D, ASSUMED_HIGHEST_D, ASSUMED_STEP_D, { supply: 'assumed-steps' })

/** A list is read once and stands behind every plan. */
const powersOf = new WeakMap<Lens, readonly ExistingPower[]>()

function powersMade(lens: Lens): readonly ExistingPower[] {
  const byPower = new Map<number, ExistingPower>()
  for (const { fromD, toD, stepD, supply, orderDays } of lens.powers) {
    for (const power of run(fromD, toD, stepD, { supply, ...(orderDays === undefined ? {} : { orderDays }) })) {
      if (byPower.get(power.powerD)?.supply !== 'in-stock') byPower.set(power.powerD, power)
    }
  }
  return [...byPower.values()].sort((one, other) => one.powerD - other.powerD)
}
