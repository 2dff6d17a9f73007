import { join } from 'node:path'
import { type Command, Option } from 'commander'
import { FINDINGS } from '../src/precautions/explain.js'
import type { Finding } from '../src/precautions/kleene.js'
import type { RuleSetOutcome } from '../src/precautions/rule-set.js'
import type { RuleSet } from '../src/precautions/rules.js'
import { projectFolder, readGround } from './ground.js'
import { readMessage, type Terminal } from './plan-command.js'
import { checkRules, explainCase, showRules } from './rules-actions.js'
import { loadRuleSet } from './rules-folder.js'
import { readSignOffsFile, signRules } from './rules-sign-off.js'
import type { Settings } from './settings.js'

/** What the commands need of the program around them. */
export interface Wiring {
  readonly terminal: Terminal
  readonly settings: () => Settings
  readonly refuse: (faults: readonly string[]) => never
}

interface OfFolder {
  readonly rules?: string
}

/** `soundings rules …` and `soundings sources`. */
export function addRulesCommands(program: Command, wiring: Wiring): void {
  const { terminal, settings, refuse } = wiring
  const folderOf = ({ rules }: OfFolder): string | undefined => rules ?? settings().SOUNDINGS_RULES
  const ruleSet = async (folder: string | undefined): Promise<RuleSet> => ruleSetOrRefuse(await outcomeOf(folder, wiring), wiring)

  const rules = program.command('rules').description('the precautions: check, explain, show and approve them')

  rules
    .command('check')
    .description('every fault in the rule files with its line, or what they hold')
    .addOption(departmentFolder())
    .action(async (options: OfFolder) => {
      process.exitCode = checkRules(await outcomeOf(folderOf(options), wiring), terminal)
    })

  rules
    .command('explain')
    .description('why each rule fires for a case message, is quiet, or cannot be decided')
    .argument('[file]', 'file with the message, or - for standard input', '-')
    .addOption(new Option('--only <finding>', 'tell only these').choices(FINDINGS))
    .addOption(departmentFolder())
    .action(async (file: string, options: OfFolder & { readonly only?: Finding }) => {
      const read = await readGround({ ...settings(), SOUNDINGS_RULES: folderOf(options) }, 'allowed').catch(faultsOf)
      if ('faults' in read) return refuse(read.faults)
      const text = messageOrRefuse(file, wiring)
      process.exitCode = await explainCase(text, options.only === undefined ? FINDINGS : [options.only], read.ground, terminal)
    })

  rules
    .command('show')
    .description('all rules in words, by surgical step, as a page to read, print and sign')
    .option('--out <file>', 'HTML file to write; standard output unless told')
    .addOption(departmentFolder())
    .action(async (options: OfFolder & { readonly out?: string }) => {
      const folder = folderOf(options)
      const shown = await ruleSet(folder)
      const record = folder === undefined ? ({ kind: 'sign-offs', signOffs: [] } as const) : readSignOffsFile(folder)
      if (record.kind === 'faults') return refuse(record.faults)
      process.exitCode = showRules(shown, record.signOffs, options.out, terminal)
    })

  rules
    .command('sign')
    .description("record the department's approval of exactly these rules, in its own folder")
    .requiredOption('--by <name>', 'who approves')
    .requiredOption('--role <role>', 'in which role')
    .option('--on <date>', 'day of the approval, as 2026-03-01; today unless told')
    .addOption(departmentFolder())
    .action(async (options: OfFolder & { readonly by: string; readonly role: string; readonly on?: string }) => {
      const folder = folderOf(options)
      if (folder === undefined)
        return refuse(["--rules: name the department's folder; the record is kept there (it may hold no rule yet)"])
      const given = { who: options.by, role: options.role, when: options.on ?? terminal.today }
      process.exitCode = signRules(await ruleSet(folder), folder, given, terminal)
    })

  rules
    .command('impact')
    .description('what changed rules would say of every past case in the trail')
    .addOption(departmentFolder().makeOptionMandatory())
    .option('--json', 'a line of JSON for each changed case, then the totals', false)
    .action(async (options: { readonly rules: string; readonly json: boolean }) => {
      const { compileRules } = await import('../src/precautions/compile.js')
      const { rulesImpact } = await import('./rules-impact.js')
      const { openTrail } = await import('./trail-file.js')
      const before = compileRules(await ruleSet(settings().SOUNDINGS_RULES))
      const after = compileRules(await ruleSet(options.rules))
      const opened = await openTrail(settings().DATABASE_URL)
      if ('fault' in opened) return refuse([opened.fault])
      process.exitCode = await rulesImpact(before, after, opened.trail, options, terminal)
      await opened.close()
    })

  program
    .command('sources')
    .description('every number that plans stand on, with its source and how sure we are of it')
    .option('--json', 'as JSON', false)
    .addOption(departmentFolder())
    .action(async (options: OfFolder & { readonly json: boolean }) => {
      const { sourcesCommand } = await import('./sources-command.js')
      process.exitCode = sourcesCommand(await ruleSet(folderOf(options)), options, terminal)
    })
}

const departmentFolder = (): Option =>
  new Option('--rules <folder>', "folder with the department's own rules; SOUNDINGS_RULES unless told")

async function outcomeOf(folder: string | undefined, { refuse }: Wiring): Promise<RuleSetOutcome> {
  const read = await loadRuleSet(join(projectFolder(), 'rules'), folder).catch(faultsOf)
  return 'kind' in read ? read : refuse(read.faults)
}

function ruleSetOrRefuse(outcome: RuleSetOutcome, { terminal, refuse }: Wiring): RuleSet {
  if (outcome.kind === 'rules') return outcome.ruleSet
  checkRules(outcome, terminal)
  return refuse([])
}

function messageOrRefuse(file: string, { refuse }: Wiring): string {
  try {
    return readMessage(file)
  } catch (fault) {
    return refuse([`${file}: ${fault instanceof Error ? fault.message : 'cannot be read'}`])
  }
}

/** A folder that cannot be read is the reader's to correct; anything else is ours, and thrown on. */
function faultsOf(fault: unknown): { readonly faults: readonly string[] } {
  const { code, path } = fault as NodeJS.ErrnoException
  if (code === 'ENOENT' || code === 'ENOTDIR' || code === 'EACCES') {
    return { faults: [`${path ?? 'the folder'} cannot be read; name a folder of rules that exists`] }
  }
  throw fault
}
