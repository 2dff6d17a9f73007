import { generateKeyPairSync, type KeyObject } from 'node:crypto'
import jwt from 'jsonwebtoken'

export const APP_ID = '11111111-2222-4333-8444-555555555555'
export const TENANT = 'aaaaaaaa-0000-4000-8000-000000000001'
export const ISSUER = 'https://api.botframework.com'

interface SigningKey {
  readonly kid: string
  readonly privateKey: KeyObject
  /** As the channel publishes it: RFC 7517, with the channels that the key may speak for. */
  readonly published: object
}

function signingKey(kid: string, endorsements: readonly string[]): SigningKey {
  const { publicKey, privateKey } = generateKeyPairSync('rsa', { modulusLength: 2048 })
  return { kid, privateKey, published: { ...publicKey.export({ format: 'jwk' }), kid, use: 'sig', alg: 'RS256', endorsements } }
}

const forTeams = signingKey('key-for-teams', ['msteams'])
const forAnother = signingKey('key-for-another-channel', ['webchat'])
/** Signs under the id of the good key, and is not published. */
const stolenName = { ...signingKey('key-for-teams', ['msteams']), kid: forTeams.kid }
const unpublished = signingKey('key-nobody-published', ['msteams'])

export const KEYS = { forTeams, forAnother, stolenName, unpublished }
export const PUBLISHED = [forTeams.published, forAnother.published]

export interface TokenOptions {
  readonly key?: SigningKey
  readonly audience?: string
  readonly issuer?: string
  /** Seconds from now; null for a token without an end. */
  readonly expiresIn?: number | null
  readonly claims?: object
}

/** A token as the channel signs it for a bot: RS256, with the service address in it. */
export function channelToken(serviceUrl: string, options: TokenOptions = {}): string {
  const { key = forTeams, audience = APP_ID, issuer = ISSUER, expiresIn = 3_600, claims = {} } = options
  const now = Math.floor(Date.now() / 1000)
  return jwt.sign(
    {
      serviceurl: serviceUrl,
      nbf: now - 10,
      ...(expiresIn === null ? {} : { exp: now + expiresIn }),
      ...claims,
    },
    key.privateKey,
    { algorithm: 'RS256', keyid: key.kid, issuer, audience },
  )
}
