import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { z } from 'zod'
import { BOT_SCOPES, COMMANDS, RESOURCE_PERMISSIONS } from '../../../adapters/teams/permissions.js'
import { commandIn } from '../../../src/desk/command.js'

const text = (most: number) => z.string().min(1).max(most)
const guid = z.string().regex(/^[0-9a-fA-F]{8}-([0-9a-fA-F]{4}-){3}[0-9a-fA-F]{12}$/)
const httpsUrl = z
  .string()
  .regex(/^https:\/\//)
  .max(2_048)
const scopes = z
  .array(z.enum(['team', 'personal', 'groupChat']))
  .min(1)
  .max(3)
const picture = z
  .string()
  .regex(/^[^/\\:]+\.png$/)
  .max(2_048)

/**
 * The documented limits: learn.microsoft.com/microsoft-365/extensibility/schema (root.name, root.bots, commandLists; read
 * 2026-11-24) and OfficeDev/microsoft-teams-app-schema, MicrosoftTeams.schema.json. Unknown keys are refused, as there.
 */
const manifestSchema = z.strictObject({
  $schema: httpsUrl,
  manifestVersion: z.literal('1.19'),
  version: z
    .string()
    .regex(/^\d+\.\d+\.\d+$/)
    .max(256),
  id: guid,
  developer: z.strictObject({ name: text(32), websiteUrl: httpsUrl, privacyUrl: httpsUrl, termsOfUseUrl: httpsUrl }),
  name: z.strictObject({ short: text(30), full: text(100) }).refine(({ short, full }) => short !== full),
  description: z.strictObject({ short: text(80), full: text(4_000) }),
  icons: z.strictObject({ color: picture, outline: picture }),
  accentColor: z.string().regex(/^#[0-9a-fA-F]{6}$/),
  defaultInstallScope: z.enum(['personal', 'team', 'groupChat', 'meetings']),
  bots: z
    .array(
      z.strictObject({
        botId: guid,
        scopes,
        supportsFiles: z.boolean(),
        isNotificationOnly: z.boolean(),
        commandLists: z
          .array(
            z.strictObject({
              scopes,
              commands: z
                .array(z.strictObject({ title: text(32), description: text(128) }))
                .min(1)
                .max(10),
            }),
          )
          .max(3),
      }),
    )
    .length(1),
  validDomains: z.array(text(2_048)).max(16),
  webApplicationInfo: z.strictObject({ id: guid, resource: text(2_048) }),
  authorization: z.strictObject({
    permissions: z.strictObject({
      resourceSpecific: z.array(z.strictObject({ name: text(128), type: z.enum(['Application', 'Delegated']) })).max(16),
    }),
  }),
})

const manifest = manifestSchema.parse(
  JSON.parse(readFileSync(new URL('../../../deploy/teams-manifest.json', import.meta.url), 'utf8')),
)
const [bot] = manifest.bots

describe('the Teams manifest', () => {
  it('asks for the permissions used, and no others', () => {
    expect(manifest.authorization.permissions.resourceSpecific).toEqual(
      RESOURCE_PERMISSIONS.map((name) => ({ name, type: 'Application' })),
    )
  })

  it('lets the bot be added where it is understood, and no files be sent to it', () => {
    expect(bot?.scopes).toEqual(BOT_SCOPES)
    expect(bot).toMatchObject({ supportsFiles: false, isNotificationOnly: false })
  })

  it('offers commands that are understood, in every place', () => {
    expect(bot?.commandLists.map((list) => list.scopes)).toEqual([BOT_SCOPES])
    const titles = bot?.commandLists.flatMap(({ commands }) => commands.map(({ title }) => title)) ?? []
    expect(titles).toEqual(COMMANDS)
    for (const title of titles.filter((one) => one !== 'help'))
      expect(commandIn(title === 'home' ? title : `${title} cornea`)).toBeDefined()
  })

  it('comes with icons as Teams wants them: 192 px in colour, 32 px in outline that shows what is behind it', () => {
    // learn.microsoft.com, app package: icons. A PNG’s size and colour type: W3C, Portable Network Graphics, 3rd ed., 11.2.1 IHDR; 6 is colour with transparency
    const header = (name: string) => {
      const png = readFileSync(new URL(`../../../deploy/${name}`, import.meta.url))
      return [png.toString('latin1', 1, 4), png.readUInt32BE(16), png.readUInt32BE(20), png[25]]
    }
    expect(header(manifest.icons.color)).toEqual(['PNG', 192, 192, 6])
    expect(header(manifest.icons.outline)).toEqual(['PNG', 32, 32, 6])
  })

  it('has one id to be filled in, in three places', () => {
    expect(new Set([manifest.id, bot?.botId, manifest.webApplicationInfo.id]).size).toBe(1)
  })
})

it('the framework’s library is known to one file of the adapter', () => {
  const folder = new URL('../../../adapters/teams/', import.meta.url)
  const files = readdirSync(folder).filter((name) => name.endsWith('.ts'))
  const knowing = files.filter((file) => /from 'bot(builder|framework)/.test(readFileSync(new URL(file, folder), 'utf8')))
  expect(files.length).toBeGreaterThan(10)
  expect(knowing).toEqual(['bot-service.ts'])
})
