import { createHash } from 'node:crypto'

/** Sixteen hexadecimal digits that change with the content. */
export const contentHash = (content: unknown): string =>
  createHash('sha256').update(JSON.stringify(content)).digest('hex').slice(0, 16)

/** A seed for drawing, from what is drawn about: the same content gives the same draws on every machine. */
export const seedFrom = (content: unknown): number => Number.parseInt(contentHash(content).slice(0, 8), 16)
