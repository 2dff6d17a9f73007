import type { Condition, Trigger } from '../../src/precautions/condition.js'

/**
 * Every trigger that is left when one condition of a trigger is taken out. A list that would be left empty goes with its last
 * condition; when nothing is left, the trigger holds always.
 */
export function removedConditions(trigger: Trigger): readonly Trigger[] {
  if ('always' in trigger) return []
  const texts = new Map<string, Trigger>()
  for (const left of without(trigger)) texts.set(JSON.stringify(left), left ?? { always: true })
  return [...texts.values()]
}

function without(condition: Condition): readonly (Condition | undefined)[] {
  if ('fact' in condition) return [undefined]
  if ('not' in condition) return without(condition.not).map((left) => left && { not: left })
  const [parts, around] =
    'all' in condition
      ? [condition.all, (all: readonly Condition[]): Condition => ({ all })]
      : [condition.any, (any: readonly Condition[]): Condition => ({ any })]
  const leavings = parts.flatMap((part, at) => [undefined, ...without(part)].map((left) => ({ at, left })))
  return leavings.map(({ at, left }) => {
    const kept = parts.flatMap((part, place) => (place === at ? (left === undefined ? [] : [left]) : [part]))
    return kept.length === 0 ? undefined : around(kept)
  })
}
