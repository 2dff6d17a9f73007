import type { z } from 'zod'
import { STEPS } from '../terms/steps.js'
import type { JsonPath } from './json-lines.js'
import { type Flaw, quoted, shown } from './read-condition.js'
import { EVIDENCE, LONGEST_TEXT, THEMES } from './schema.js'

/** What each field holds, for a reader who has never seen the schema. */
const FIELD_GUIDE: Readonly<Record<string, string>> = {
  id: 'lower-case words joined by hyphens, the same as the file name without .json',
  theme: `the folder it stands in: ${quoted(THEMES)}`,
  step: `the surgical step: ${quoted(STEPS)}`,
  indicator: '"critical", "warning" or "info"',
  place: '"eye" for a caution of this eye, "checklist" for what holds for every operation',
  harm: 'a whole number from 1 (gravest) to 5',
  changeableBefore: 'true when something can still be done about it before surgery, else false',
  when: 'the condition under which it fires',
  advice: 'lower-case words joined by hyphens; precautions with the same advice are shown as one',
  text: `one sentence of at most ${LONGEST_TEXT} characters that says what to do`,
  why: 'one or two sentences of reason',
  ask: 'the question to ask when it cannot be decided',
  evidence: `one of ${quoted(EVIDENCE)}`,
  sources: 'at least one { "cite", "year", "sureness", "supports" }',
  cite: 'authors, journal, year, volume and pages',
  year: 'the year of publication, a whole number',
  sureness: '"read", "secondary", "memory", "derived" or "convention"',
  supports: 'what exactly the source says for this precaution',
  examples: '{ "fires": [ … ], "quiet": [ … ], "unknown": [ … ] }, each with at least one case',
  fires: 'at least one case, facts by name: { "axialLengthMm": 29.6 }',
  quiet: 'at least one case, facts by name, for which it stays quiet',
  question: 'the question put to colleagues',
  sides: 'exactly two sides, each with "pull", "when", "precautions" and "sources"',
  pull: 'what this side asks for, and why',
  precautions: 'a list of ids of precautions',
  override: 'the id of the shipped precaution to change',
  off: '{ "because": "the reason" }',
  because: 'why the department switches it off',
  layer: 'the name of the department',
}

/** The issues of a zod schema in a clinician's words. */
export const flawsOf = (error: z.ZodError, content: unknown): readonly Flaw[] =>
  error.issues.flatMap((issue) => flawsOfIssue(issue, content))

function flawsOfIssue(issue: z.core.$ZodIssue, content: unknown): readonly Flaw[] {
  const path = issue.path.filter((part) => typeof part !== 'symbol')
  const field = path.findLast((part) => typeof part === 'string')
  const guide = field === undefined ? undefined : FIELD_GUIDE[field]
  const value = valueAt(content, path)
  if (issue.code === 'custom') {
    const instead: unknown = issue.params?.['instead']
    return [{ path, message: issue.message, instead: typeof instead === 'string' ? instead : '' }]
  }
  if (issue.code === 'unrecognized_keys') {
    return issue.keys.map((key) => ({
      path: [...path, key],
      message: `"${key}" has no place here`,
      instead: 'take it out, or correct its spelling',
    }))
  }
  const instead = guide === undefined ? issue.message : `write ${guide}`
  if (value === undefined) return [{ path, message: `"${field ?? 'the rule'}" is missing`, instead }]
  if (issue.code === 'too_big' && issue.origin === 'string' && typeof value === 'string') {
    return [{ path, message: `"${field}" has ${value.length} characters, at most ${issue.maximum}`, instead }]
  }
  return [{ path, message: `${shown(value)} cannot stand in "${field ?? 'the file'}"`, instead }]
}

function valueAt(content: unknown, path: JsonPath): unknown {
  let value = content
  for (const part of path) {
    if (typeof value !== 'object' || value === null || !Object.hasOwn(value, part)) return undefined
    value = (value as Readonly<Record<string | number, unknown>>)[part]
  }
  return value
}
