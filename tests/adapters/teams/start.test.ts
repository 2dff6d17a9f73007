import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { startTeams } from '../../../adapters/teams/start.js'
import { BOT_TOKEN } from '../../fakes/teams-connector.js'
import { APP_ID, TENANT } from '../../fakes/teams-tokens.js'
import { conversationsInMemory, type Loopback, settingsFor, startLoopback } from './loopback.js'

let loopback: Loopback
beforeEach(async () => {
  loopback = await startLoopback()
})
afterEach(() => loopback.stop())

describe('a start', () => {
  const deps = {
    accept: async () => {},
    receive: () => {
      throw new Error('nothing is received here')
    },
    conversations: conversationsInMemory(),
    logger: { info: () => {}, warn: () => {}, error: () => {} },
    botToken: async () => BOT_TOKEN,
  }
  const settings = {
    appId: APP_ID,
    appPassword: 'secret',
    appType: 'SingleTenant',
    tenantId: TENANT,
    allowedTenants: [],
  } as const

  it('without an app id is refused: everybody would be let in', async () => {
    await expect(startTeams({ ...settings, appId: ' ' }, deps)).rejects.toThrow(/MicrosoftAppId/)
  })

  it.each<[string, object, RegExp]>([
    ['a password', { appPassword: '' }, /MicrosoftAppPassword/],
    ['its tenant', { tenantId: '' }, /MicrosoftAppTenantId/],
    ['tenants to hear', { appType: 'MultiTenant', tenantId: undefined }, /SOUNDINGS_TEAMS_TENANTS/],
    [
      'all addresses of another cloud',
      { channelAddresses: { OAuthUrl: 'https://token.invalid' } },
      /ToBotFromChannelTokenIssuer/,
    ],
  ])('without %s says which setting is missing, and no secret', async (_, missing, names) => {
    const start = startTeams({ ...settings, ...missing }, deps)
    await expect(start).rejects.toThrow(names)
    await expect(start).rejects.not.toThrow(/secret/)
  })

  it('calls nobody', async () => {
    await (await startTeams(settingsFor(loopback.connector), deps)).stop()
    expect(loopback.connector.calls).toEqual([])
  })
})
