import { existsSync, readFileSync, renameSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import type { RuleSet } from '../src/precautions/rules.js'
import {
  newSignOff,
  readSignOffs,
  SIGN_OFFS_FILE,
  type SignOff,
  type SignOffsRead,
  signOffsText,
} from '../src/precautions/sign-offs.js'
import type { ExitCode, Terminal } from './plan-command.js'

/** The record of a department's folder; empty where nobody has signed yet. */
export function readSignOffsFile(departmentFolder: string): SignOffsRead {
  const path = join(departmentFolder, SIGN_OFFS_FILE)
  return existsSync(path) ? readSignOffs(readFileSync(path, 'utf8')) : { kind: 'sign-offs', signOffs: [] }
}

/**
 * `soundings rules sign`: adds an approval of exactly these rules to the department's record. What stands there is never
 * changed, and a record that does not read is not touched.
 */
export function signRules(
  ruleSet: RuleSet,
  departmentFolder: string,
  given: Omit<SignOff, 'hash'>,
  terminal: Terminal,
): ExitCode {
  const made = newSignOff({ ...given, hash: ruleSet.version }, terminal.today)
  const record = readSignOffsFile(departmentFolder)
  const faults = [made, record].flatMap((each) => (each.kind === 'faults' ? each.faults : []))
  for (const fault of faults) terminal.err(`${fault}\n`)
  if (made.kind === 'faults' || record.kind === 'faults') return 2
  const { who, role, when } = made.signOff
  const path = join(departmentFolder, SIGN_OFFS_FILE)
  const beside = `${path}.${process.pid}.tmp`
  writeFileSync(beside, signOffsText([...record.signOffs, made.signOff]), { flush: true })
  renameSync(beside, path)
  terminal.out(`Approved by ${who}, ${role}, on ${when}: rule set ${ruleSet.version}\nRecorded in ${path}\n`)
  return 0
}
