/** "2,180", on every machine alike. */
export const withThousands = (value: number): string => {
  const [whole = '', part] = String(value).split('.')
  const grouped = whole.replace(/\B(?=(\d{3})+$)/g, ',')
  return part === undefined ? grouped : `${grouped}.${part}`
}

/** At most two significant figures, without an exponent. */
const twoFigures = (value: number): string => String(Number(value.toPrecision(2)))

/** Below this a reader counts better in "1 in N" than in parts of a hundred. */
const RARE = 0.00995

/** "14", "9", "1.5": how many in a hundred, whole from 3 upwards. */
const hundredths = (probability: number): string => {
  const inHundred = probability * 100
  return inHundred >= 2.95 ? String(Math.round(inHundred)) : twoFigures(inHundred)
}

const oneIn = (probability: number): string => withThousands(Math.round(Number((1 / probability).toPrecision(2))))

/**
 * A probability as a plain frequency: "14 in 100", "1.5 in 100", "1 in 260".
 * @param probability 0 to 1
 */
export function frequency(probability: number): string {
  if (probability <= 0) return 'none'
  if (probability < RARE) return `1 in ${oneIn(probability)}`
  if (probability > 0.995) return 'more than 99 in 100'
  return `${hundredths(probability)} in 100`
}

/**
 * Two probabilities as one range of plain frequencies: "6 to 8 in 100"; a single frequency when both read the same.
 * @param low the smaller probability, 0 to 1
 * @param high the greater probability, 0 to 1
 */
export function frequencyRange(low: number, high: number): string {
  const [from, to] = [frequency(low), frequency(high)]
  if (from === to) return from
  // "2.4 to 4.5", not "2.4 to 5": one precision through a range.
  if (low >= RARE && low < 0.0295 && high < 0.0995) return `${twoFigures(low * 100)} to ${twoFigures(high * 100)} in 100`
  if (low >= RARE && high <= 0.995) return `${hundredths(low)} to ${to}`
  return `${from} to ${to}`
}

/** The figure alone where "in 100" has just been said: "9"; a rare one keeps its own base: "1 in 260". */
export const frequencyShort = (probability: number): string => frequency(probability).replace(/ in 100$/, '')

/** The range alone where "in 100" has just been said: "4 to 5"; one that begins below 1 in 100 keeps both bases: "1 in 110 to 1.3 in 100". */
export function frequencyRangeShort(low: number, high: number): string {
  const range = frequencyRange(low, high)
  return range.startsWith('1 in ') ? range : range.replace(/ in 100$/, '')
}
