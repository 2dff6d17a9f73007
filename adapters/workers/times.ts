/** ISO time `ms` milliseconds after another. */
export const later = (at: string, ms: number): string => new Date(Date.parse(at) + ms).toISOString()

/** Milliseconds from one ISO time to another. */
export const between = (from: string, to: string): number => Date.parse(to) - Date.parse(from)
