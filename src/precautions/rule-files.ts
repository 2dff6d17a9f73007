import type { z } from 'zod'
import { type JsonPath, readJson } from './json-lines.js'
import { flawsOfRule, flawsOfTension, type Standing } from './lint.js'
import type { Flaw } from './read-condition.js'
import { type Override, overrideSchema, type PrecautionRule, ruleSchema, type TensionRule, tensionSchema } from './schema.js'
import { flawsOf } from './schema-flaws.js'

/** A file of a rules folder, as it was found. */
export interface RuleFile {
  /** Path with forward slashes, folder included: `rules/anaesthesia/needle-block-in-a-long-eye.json`. */
  readonly file: string
  readonly text: string
}

/** Something wrong in a rule file, for the person who wrote it. */
export interface RuleFault {
  readonly file: string
  readonly line: number
  readonly message: string
  readonly instead: string
}

/** One file's content once read, with the way from a place inside it to a line. */
export interface Read<Content> {
  readonly content: Content
  readonly at: (path: JsonPath) => { readonly file: string; readonly line: number }
}

export interface ReadFiles {
  readonly rules: readonly Read<PrecautionRule>[]
  readonly tensions: readonly Read<TensionRule>[]
  readonly overrides: readonly Read<Override>[]
  readonly faults: readonly RuleFault[]
}

export const faultAt = <Content>(read: Read<Content>, path: JsonPath, message: string, instead: string): RuleFault => ({
  ...read.at(path),
  message,
  instead,
})

/** Reads every file by the schema and the lint. One file's faults never hide another's. */
export function readFiles(files: readonly RuleFile[]): ReadFiles {
  const rules: Read<PrecautionRule>[] = []
  const tensions: Read<TensionRule>[] = []
  const overrides: Read<Override>[] = []
  const faults: RuleFault[] = []
  for (const { file, text } of files) {
    const standing = standingOf(file)
    if (standing === undefined) {
      faults.push({
        file,
        line: 1,
        message: 'this is not a rule file',
        instead: 'end its name with .json, or take it out of the folder',
      })
      continue
    }
    const json = readJson(text)
    if (json.kind === 'broken') {
      faults.push({ file, line: json.line, message: json.message, instead: 'correct the JSON' })
      continue
    }
    const at = (path: JsonPath) => ({ file, line: json.lineOf(path) })
    const accept = <Content>(
      schema: z.ZodType<Content>,
      into: Read<Content>[],
      lint: (content: Content) => readonly Flaw[],
    ): void => {
      const parsed = schema.safeParse(json.value)
      const flaws = parsed.success ? lint(parsed.data) : flawsOf(parsed.error, json.value)
      faults.push(...flaws.map(({ path, message, instead }) => ({ ...at(path), message, instead })))
      if (parsed.success) into.push({ content: parsed.data, at })
    }
    if (hasField(json.value, 'override')) accept(overrideSchema, overrides, () => [])
    else if (standing.folder === 'tensions') accept(tensionSchema, tensions, (tension) => flawsOfTension(tension, standing))
    else accept(ruleSchema, rules, (rule) => flawsOfRule(rule, standing))
  }
  return { rules, tensions, overrides, faults }
}

const hasField = (value: unknown, field: string): boolean =>
  typeof value === 'object' && value !== null && Object.hasOwn(value, field)

function standingOf(file: string): Standing | undefined {
  const [name = '', folder = ''] = file.split('/').reverse()
  return name.endsWith('.json') ? { folder, name: name.slice(0, -'.json'.length) } : undefined
}
