import { expect, it } from 'vitest'
import { messageAddress } from '../../../adapters/teams/direct.js'
import { CHANNEL } from '../../fakes/teams-activities.js'
import { TENANT } from '../../fakes/teams-tokens.js'

// learn.microsoft.com, endpoints of Microsoft 365 for the clouds of the United States government: where their people open Teams
it.each([
  ['https://smba.trafficmanager.net/emea/', 'teams.microsoft.com'],
  ['https://smba.infra.gcc.teams.microsoft.com/teams', 'teams.microsoft.com'],
  ['https://smba.infra.gov.teams.microsoft.us/teams', 'gov.teams.microsoft.us'],
  ['https://smba.infra.dod.teams.microsoft.us/teams', 'dod.teams.microsoft.us'],
])('a link to a message leads to where the people of the cloud behind %s open Teams', (serviceUrl, host) => {
  const place = { platform: 'teams', workspace: TENANT, channel: CHANNEL } as const
  expect(new URL(messageAddress(place, '17', { kind: 'channel', serviceUrl })).host).toBe(host)
})
