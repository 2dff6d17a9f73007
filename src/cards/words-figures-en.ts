/** How figures are joined into words, in English; another language is a second object of this type. */
export const FIGURE_WORDS = {
  outOf: (count: string, scale: string) => `${count} in ${scale}`,
  fewest: 'fewer than 1 in 10,000',
  range: (from: string, to: string) => `${from} to ${to}`,
  two: (one: string, other: string) => `${one} and ${other}`,
  pair: (one: string, other: string) => `${one} / ${other}`,
  atLength: (power: string, mm: string, use: string) => `${power} at ${mm} mm, ${use}`,
  atMeridian: (dioptres: string, degrees: string) => `${dioptres} D at ${degrees}°`,
  years: ' years',
  months: ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'],
} as const
