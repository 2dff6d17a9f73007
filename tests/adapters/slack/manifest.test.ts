import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { z } from 'zod'
import { ASK_SHORTCUT } from '../../../adapters/slack/from-shortcut.js'
import { SLACK_PATH } from '../../../adapters/slack/start.js'
import { INTERACTION_SCOPE, scopesOfEvent, scopesOfMethod } from '../../fakes/slack-scopes.js'

const text = (most: number, least = 1) => z.string().min(least).max(most)
const url = z
  .string()
  .regex(/^https?:\/\//)
  .max(3_500)

/** The documented limits: slackapi/manifest-schema, schemas/manifest.schema.2.0.0.json (read 2026-11-24). Unknown keys are refused, as there. */
const manifestSchema = z.strictObject({
  display_information: z.strictObject({
    name: text(35),
    description: text(140),
    long_description: text(4_000, 175),
    background_color: z.string().regex(/^#[0-9a-fA-F]{3}([0-9a-fA-F]{3})?$/),
  }),
  features: z.strictObject({
    app_home: z.strictObject({
      home_tab_enabled: z.boolean(),
      messages_tab_enabled: z.boolean(),
      messages_tab_read_only_enabled: z.boolean(),
    }),
    bot_user: z.strictObject({ display_name: text(80), always_online: z.boolean() }),
    shortcuts: z
      .array(
        z.strictObject({ name: text(24), type: z.enum(['message', 'global']), callback_id: text(255), description: text(150) }),
      )
      .min(1)
      .max(10),
    slash_commands: z
      .array(
        z.strictObject({
          command: z.string().regex(/^\//).min(2).max(32),
          url: url.max(3_000),
          description: text(2_000),
          usage_hint: text(1_000),
          should_escape: z.boolean(),
        }),
      )
      .min(1)
      .max(50),
  }),
  oauth_config: z.strictObject({ scopes: z.strictObject({ bot: z.array(text(50)).max(255) }) }),
  settings: z.strictObject({
    event_subscriptions: z.strictObject({ request_url: url, bot_events: z.array(text(50)).max(100) }),
    interactivity: z.strictObject({ is_enabled: z.boolean(), request_url: url }),
    org_deploy_enabled: z.boolean(),
    socket_mode_enabled: z.boolean(),
    token_rotation_enabled: z.boolean(),
  }),
})

const manifest = manifestSchema.parse(
  JSON.parse(readFileSync(new URL('../../../deploy/slack-manifest.json', import.meta.url), 'utf8')),
)

/** Every Web API method that the adapter's source calls. */
function methodsCalled(): readonly string[] {
  const folder = new URL('../../../adapters/slack/', import.meta.url)
  const sources = readdirSync(folder)
    .filter((name) => name.endsWith('.ts'))
    .map((name) => readFileSync(new URL(name, folder), 'utf8'))
  return sources.flatMap((source) => [...source.matchAll(/\bclient\.([a-z]+\.[a-zA-Z.]+)\(/g)].map(([, method]) => method ?? ''))
}

describe('the Slack manifest', () => {
  const { bot_events: events } = manifest.settings.event_subscriptions

  it('asks for exactly the scopes that the methods called and the events subscribed to need', () => {
    const methods = methodsCalled()
    expect(methods).toContain('chat.postMessage')
    const needed = new Set([
      ...methods.flatMap(known(scopesOfMethod)),
      ...events.flatMap(known(scopesOfEvent)),
      INTERACTION_SCOPE,
    ])
    expect(manifest.oauth_config.scopes.bot.toSorted()).toEqual([...needed].toSorted())
  })

  it('subscribes to mentions, to talk in channels for the threads, to direct messages, and to looks at its own page', () => {
    expect(events.toSorted()).toEqual(['app_home_opened', 'app_mention', 'message.channels', 'message.groups', 'message.im'])
  })

  it('has the command and the shortcut that are read', () => {
    expect(manifest.features.slash_commands.map((one) => one.command)).toEqual(['/soundings'])
    expect(manifest.features.shortcuts.map((one) => one.callback_id)).toEqual([ASK_SHORTCUT])
  })

  it('sends everything to the path that is served', () => {
    const { event_subscriptions, interactivity } = manifest.settings
    const urls = [event_subscriptions.request_url, interactivity.request_url, manifest.features.slash_commands[0]?.url]
    expect(urls.map((one) => new URL(one ?? '').pathname)).toEqual([SLACK_PATH, SLACK_PATH, SLACK_PATH])
  })

  it('lets people write to the bot directly, and has a page of its own', () => {
    expect(manifest.features.app_home).toMatchObject({
      home_tab_enabled: true,
      messages_tab_enabled: true,
      messages_tab_read_only_enabled: false,
    })
  })
})

/** A method or event that is not in the table would need no scope at all by it, so it is a fault. */
const known = (scopesOf: (name: string) => readonly string[] | undefined) => (name: string) => {
  const scopes = scopesOf(name)
  if (scopes === undefined) throw new Error(`${name} is not in tests/fakes/slack-scopes.ts`)
  return scopes
}
