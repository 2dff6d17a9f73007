import { constants } from 'node:fs'
import { access, stat } from 'node:fs/promises'
import { dirname, resolve } from 'node:path'
import { planPicture } from '../src/cards/picture.js'
import { understand } from '../src/intake/understand.js'
import { knownAnswers } from '../src/optics/known-answers.js'
import { makePlan, type PlanGround } from '../src/plan/make-plan.js'
import type { Plan } from '../src/plan/plan.js'
import { lensPower } from '../src/terms/power.js'
import { contentHash } from '../src/trail/chain.js'
import { readGround } from './ground.js'
import { readGroups } from './groups-file.js'
import { readOperationsFile } from './operations.js'
import type { Terminal } from './plan-command.js'
import { drawPng } from './png/draw.js'
import { readSettings, type Settings } from './settings.js'
import { databaseKind, openReading } from './store/open.js'

/** What one part of the installation was found to be: each fault says what is wrong, where, and what to do. */
type Found = { readonly is: string } | { readonly faults: readonly string[] }
type Check = readonly [part: string, look: () => Found | Promise<Found>]

/** An invented eye of which every part of a plan is worked out, with or without a lens list. */
const INVENTED_EYE = `LE 58M, AL 29.60 optical, K1 42.10@95 K2 43.20@5, ACD 3.45, LT 4.90, WTW 12.1, CCT 548
brown NO 5.2; ECD 2180; no fundal view, B-scan flat; target -1.75; A 118.9; registrar`
const SIGNATURE = Buffer.from('89504e470d0a1a0a', 'hex')

const formulas = (): Found => {
  const answers = knownAnswers()
  const faults = answers
    .filter(({ agrees }) => !agrees)
    .map(
      ({ formula, axialLengthMm, printedD, givenD }) =>
        `${formula} at ${axialLengthMm} mm gives ${givenD === undefined ? 'no power' : lensPower(givenD)}, printed is ${lensPower(printedD)}: do not use this installation`,
    )
  return faults.length > 0
    ? { faults }
    : { is: `${answers.length} of ${answers.length} powers as printed (BMJ 2004;328:92, table B)` }
}

/** One case planned twice must give one plan. */
async function planning(ground: PlanGround, keep: (plan: Plan) => void): Promise<Found> {
  const understood = understand(INVENTED_EYE, { today: '2026-01-01', lensLabels: [] })
  if (understood.kind !== 'case' || understood.problems.length > 0) return { faults: ['the invented eye is not read as a case'] }
  const [one, other] = [await makePlan(understood.case, ground), await makePlan(understood.case, ground)]
  keep(one)
  if (contentHash(one) !== contentHash(other))
    return { faults: ['one case planned twice gives two plans: do not use this installation'] }
  const { recommended } = one.lens
  if (recommended === undefined) return { faults: ['the invented eye gets no lens power: do not use this installation'] }
  return { is: `the invented eye gets ${lensPower(recommended.powerD)}, twice the same to the bit` }
}

async function drawing(plan: Plan | undefined): Promise<Found> {
  const picture = plan && planPicture(plan)
  if (picture === undefined) return { faults: ['there is no plan to draw'] }
  const png = await drawPng(picture.svg, 600)
  const isPng = SIGNATURE.equals(png.subarray(0, SIGNATURE.length))
  return isPng ? { is: `drawn, ${Math.round(png.length / 1000)} kB` } : { faults: ['what is drawn is no PNG'] }
}

async function trail(url: string): Promise<Found> {
  const named = databaseKind(url)
  try {
    const reading = await openReading(url)
    try {
      const [newest] = await reading.trail.newest('everything', 1)
      return { is: newest === undefined ? 'can be read; no consult in it yet' : `can be read; newest consult ${newest.ref}` }
    } finally {
      await reading.close()
    }
  } catch (fault) {
    const isNone = fault instanceof Error && 'code' in fault && fault.code === 'STORE.NO-FILE'
    if (!isNone) return { faults: [fault instanceof Error ? fault.message : 'cannot be read'] }
    if (named.kind === 'postgres') return { is: 'none yet; the first start makes it' }
    const folder = await nearestFolder(dirname(resolve(named.path)))
    return (await mayWrite(folder))
      ? { is: 'none yet; the first start makes it' }
      : {
          faults: [
            `none yet, and ${folder} is no folder that can be written to: change that, or name another place in DATABASE_URL`,
          ],
        }
  }
}

async function nearestFolder(folder: string): Promise<string> {
  const isThere = await access(folder).then(
    () => true,
    () => false,
  )
  const above = dirname(folder)
  return isThere || above === folder ? folder : nearestFolder(above)
}

const mayWrite = async (folder: string): Promise<boolean> => {
  try {
    await access(folder, constants.W_OK)
    return (await stat(folder)).isDirectory()
  } catch {
    return false
  }
}

async function checksOf(settings: Settings): Promise<readonly Check[]> {
  const read = await readGround(settings, (settings.SLACK_BOT_TOKEN ?? settings.MicrosoftAppId) ? 'not-allowed' : 'allowed')
  let plan: Plan | undefined
  const onGround = (look: (ground: PlanGround) => Found | Promise<Found>) => () =>
    'ground' in read ? look(read.ground) : { faults: ['not tried: the rules or the lens list cannot be used'] }
  const { SOUNDINGS_GROUPS: groupsFile, SOUNDINGS_OPERATIONS: operationsFile } = settings
  return [
    [
      'rules and lens list',
      () =>
        'faults' in read
          ? read
          : {
              is: `${read.ground.ruleSet.precautions.length} precautions, ${read.ground.ruleSet.tensions.length} tensions; ${read.ground.lensList?.title ?? 'no lens list: plans name no lens'}`,
            },
    ],
    ['formulas', formulas],
    [
      'plan',
      onGround((ground) =>
        planning(ground, (made) => {
          plan = made
        }),
      ),
    ],
    ['picture', () => drawing(plan)],
    ['trail', () => trail(settings.DATABASE_URL)],
    ...(groupsFile === undefined
      ? []
      : [
          [
            'groups',
            () => {
              const known = readGroups(groupsFile)
              return 'faults' in known ? known : { is: `${known.groups.length} groups` }
            },
          ] as const,
        ]),
    ...(operationsFile === undefined
      ? []
      : [
          [
            'operations',
            async () => {
              const known = await readOperationsFile(operationsFile)
              return 'faults' in known ? known : { is: 'can be read' }
            },
          ] as const,
        ]),
  ]
}

/**
 * `soundings selfcheck`: whether this installation can do its work, part by part. Changes nothing and calls no chat.
 * @returns 0 when every part can, 1 when one cannot
 */
export async function selfcheckCommand(
  environment: Readonly<Record<string, string | undefined>>,
  terminal: Terminal,
): Promise<0 | 1> {
  const read = readSettings(environment)
  const checks: readonly Check[] =
    'settings' in read
      ? [['settings', () => ({ is: 'as they should be' })], ...(await checksOf(read.settings))]
      : [
          ['settings', () => ({ faults: read.faults.map(({ name, message }) => `${name}: ${message}`) })],
          ['formulas', formulas],
        ]
  let isWhole = true
  for (const [part, look] of checks) {
    const found = await Promise.resolve()
      .then(look)
      .catch((fault: unknown): Found => ({ faults: [fault instanceof Error ? fault.message : 'could not be tried'] }))
    if ('is' in found) terminal.out(`works    ${part}: ${found.is}\n`)
    else {
      isWhole = false
      for (const fault of found.faults) terminal.err(`does not ${part}: ${fault}\n`)
    }
  }
  if (isWhole) terminal.out('Not tried: the chats themselves, and what colleagues make of the advice.\n')
  return isWhole ? 0 : 1
}
