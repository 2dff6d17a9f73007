import { readdirSync, readFileSync } from 'node:fs'
import { basename, join, relative, sep } from 'node:path'
import type { RuleFile } from '../src/precautions/rule-files.js'
import { buildRuleSet, type RuleSetOutcome } from '../src/precautions/rule-set.js'
import { SIGN_OFFS_FILE } from '../src/precautions/sign-offs.js'

/** Not a rule, and no mistake: hidden files, and pages that explain the folder. */
const beside = (name: string): boolean => name.startsWith('.') || name.endsWith('.md')

/**
 * Every file of a rules folder with its text, in the order of their paths. Files that are no JSON come along too, so that a
 * rule under a wrong name is reported instead of passed over.
 * @param folder path of the folder
 * @param shownAs what stands in front of each file's path; the folder's last name unless told
 */
export async function readRulesFolder(folder: string, shownAs = basename(folder)): Promise<readonly RuleFile[]> {
  const entries = readdirSync(folder, { recursive: true, withFileTypes: true })
  const files = entries
    .filter((entry) => !entry.isDirectory() && !beside(entry.name))
    .map((entry) => join(entry.parentPath, entry.name))
    .filter((path) => relative(folder, path) !== SIGN_OFFS_FILE)
  // One after the other: nothing else waits at a start, and some hundred small files are read twice as fast as side by side.
  const read = files.map((path) => ({
    file: [shownAs, ...relative(folder, path).split(sep)].join('/'),
    text: readFileSync(path, 'utf8'),
  }))
  return read.toSorted((one, other) => (one.file < other.file ? -1 : 1))
}

/**
 * The rule set of a rules folder and, where a department keeps its own, of that folder over it. Faults in the department's
 * files name them by the path it gave, so that they can be opened from there.
 * @throws when a folder cannot be read
 */
export async function loadRuleSet(folder: string, departmentFolder?: string): Promise<RuleSetOutcome> {
  const department =
    departmentFolder === undefined ? [] : await readRulesFolder(departmentFolder, departmentFolder.replace(/\/+$/, ''))
  return buildRuleSet(await readRulesFolder(folder), department)
}
