/**
 * PostgreSQL keeps no zero byte in a text; what people type may hold one, and hashes cover the exact characters.
 * So it is written with an escape character on the way in and restored on the way out. JSON never holds either as it
 * stands, so it passes unchanged.
 */
const ESCAPE = '\u0011'
const UNKEEPABLE = new RegExp(`[\\0${ESCAPE}]`, 'g')
const WRITTEN = new RegExp(`${ESCAPE}([01])`, 'g')

export const keepable = (value: unknown): unknown =>
  typeof value === 'string' ? value.replace(UNKEEPABLE, (unit) => `${ESCAPE}${unit === ESCAPE ? 1 : 0}`) : value

export const asItWas = (text: string): string =>
  text.includes(ESCAPE) ? text.replace(WRITTEN, (_all, code: string) => (code === '1' ? ESCAPE : '\0')) : text
