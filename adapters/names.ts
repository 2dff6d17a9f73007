import { randomBytes, randomInt } from 'node:crypto'
import { namesFrom } from '../src/desk/reference.js'

/** References and ids from the machine's own randomness. */
export const randomNames = namesFrom(
  (limit) => randomInt(limit),
  () => randomBytes(9).toString('base64url'),
)
