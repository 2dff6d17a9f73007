import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { PlanGround } from '../src/plan/make-plan.js'
import { readLensList } from './lens-list-file.js'
import { loadRuleSet } from './rules-folder.js'
import { readSignOffsFile } from './rules-sign-off.js'

/** The folder of the project, whether this runs from source or compiled. */
export function projectFolder(): string {
  let folder = dirname(fileURLToPath(import.meta.url))
  while (!existsSync(join(folder, 'package.json'))) {
    const above = dirname(folder)
    if (above === folder) throw new Error('START.NO_PROJECT_FOLDER: no package.json above the program')
    folder = above
  }
  return folder
}

export interface GroundSettings {
  readonly SOUNDINGS_LENS_LIST?: string | undefined
  readonly SOUNDINGS_RULES?: string | undefined
}

/** The invented lens list serves as default only where nothing real is connected. */
export type InventedLensList = 'allowed' | 'not-allowed'

function isFolder(path: string): boolean {
  try {
    readdirSync(path)
    return true
  } catch {
    return false
  }
}

/** Reads rules and lens list. Faults are sentences with file, place and remedy. */
export async function readGround(
  settings: GroundSettings,
  invented: InventedLensList,
): Promise<{ readonly ground: PlanGround } | { readonly faults: readonly string[] }> {
  const folder = projectFolder()
  const { version } = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8')) as { version: string }
  if (settings.SOUNDINGS_RULES !== undefined && !isFolder(settings.SOUNDINGS_RULES))
    return { faults: [`SOUNDINGS_RULES: ${settings.SOUNDINGS_RULES} is no folder that can be read`] }
  const rules = await loadRuleSet(join(folder, 'rules'), settings.SOUNDINGS_RULES)
  const listPath =
    settings.SOUNDINGS_LENS_LIST ?? (invented === 'allowed' ? join(folder, 'examples', 'lens-list.json') : undefined)
  const record =
    settings.SOUNDINGS_RULES === undefined
      ? ({ kind: 'sign-offs', signOffs: [] } as const)
      : readSignOffsFile(settings.SOUNDINGS_RULES)
  const list = listPath === undefined ? { lensList: undefined } : readLensList(listPath)
  const faults = [
    ...(rules.kind === 'faults'
      ? rules.faults.map(({ file, line, message, instead }) => `${file}:${line}: ${message}; ${instead}`)
      : []),
    ...(record.kind === 'faults' ? record.faults : []),
    ...('faults' in list ? list.faults : []),
  ]
  if (rules.kind === 'faults' || record.kind === 'faults' || 'faults' in list) return { faults }
  const { signOffs } = record
  return {
    ground: { soundings: version, ruleSet: rules.ruleSet, ruleSignOffs: signOffs, lensList: list.lensList, monteCarlo: true },
  }
}
