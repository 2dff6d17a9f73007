import type { Case } from '../case/case.js'
import { writeCase } from '../intake/case-text.js'
import type { Problem, ReadItem } from '../intake/understand.js'
import { canonicalJson } from '../trail/chain.js'
import type { DeskDeps } from './deps.js'

export type ChangedCase =
  | { readonly case: Case; readonly read: readonly ReadItem[]; readonly problems: readonly Problem[] }
  | { readonly refused: string }

const HOW = 'Write one item of the case, such as: change: AL 29.70'
const WITHOUT = /^(?:without|not stated|unknown)\s*:?\s+/iu

/**
 * A case with one item said anew: the kept case is written out, the lines that said the same thing go, the new item comes,
 * and the whole is read again with every check. Facts that did not change keep the words they were first read from.
 */
export function changedCase(kept: Case, item: string, deps: DeskDeps): ChangedCase {
  const around = { today: deps.today(), lensLabels: deps.lensLabels, hasPicture: false }
  const itemsOf = (text: string): readonly ReadItem[] => {
    const read = deps.understand(text, around)
    return read.kind === 'case' ? read.items : []
  }
  const lines = writeCase(kept)
    .split('\n')
    .map((text) => ({ text, items: itemsOf(text) }))
  const taken = WITHOUT.test(item) ? item.replace(WITHOUT, '').trim() : undefined
  if (taken !== undefined) {
    const names = (read: ReadItem): boolean =>
      [read.label, read.source].some((word) => word.toLowerCase().includes(taken.toLowerCase()))
    const left = lines.filter(({ items }) => taken === '' || !items.some(names))
    if (left.length === lines.length) return { refused: `Nothing called “${taken}” is stated in this case.` }
    return readAgain(left.map(({ text }) => text).join('\n'), kept, [])
  }

  const read = deps.understand(item, around)
  if (read.kind === 'identifiers') return { refused: 'Something in it may identify the patient, so it was not taken in.' }
  if (read.kind === 'guidance') return { refused: `“${item}” could not be read as an item of the case. ${HOW}` }
  const [problem] = read.problems
  if (read.items.length === 0) {
    return {
      refused:
        problem === undefined
          ? `Nothing of “${item}” is an item of the case. ${HOW}`
          : `Nothing was changed. ${problem.message} Write instead: ${problem.instead}`,
    }
  }
  const said = new Set(read.items.map(({ field, label }) => `${field} ${label}`))
  const fields = new Set(read.items.map(({ field }) => field))
  const others = lines.filter(({ items }) => !items.some(({ field, label }) => said.has(`${field} ${label}`)))
  const whole = (left: typeof lines) => [...left.map(({ text }) => text), item].join('\n')
  const again = readAgain(whole(others), kept, read.items)
  if ('refused' in again || !again.problems.some(({ kind, field }) => kind === 'contradiction' && fields.has(field ?? '')))
    return again
  // The same fact was said in another way, such as a mean where two meridians stood: the new way replaces it.
  return readAgain(whole(others.filter(({ items }) => !items.some(({ field }) => fields.has(field)))), kept, read.items)

  function readAgain(text: string, former: Case, items: readonly ReadItem[]): ChangedCase {
    const anew = deps.understand(text, around)
    if (anew.kind === 'identifiers') return { refused: 'Something in it may identify the patient, so it was not taken in.' }
    if (anew.kind === 'guidance') return { refused: `Nothing would be left of the case. ${HOW}` }
    return { case: withFormerSources(anew.case, former), read: items, problems: anew.problems }
  }
}

const valueIn = (stated: unknown): string =>
  canonicalJson(typeof stated === 'object' && stated !== null && 'value' in stated ? stated.value : stated)

/** Each fact whose value is what it was, with the words, line and assumption that it was first read with. */
function withFormerSources(anew: Case, former: Case): Case {
  const whole: Record<string, unknown> = { ...anew }
  const before = former as Readonly<Record<string, unknown>>
  for (const [field, stated] of Object.entries(anew)) {
    const was = before[field]
    if (was === undefined) continue
    if (field === 'fellow' || field === 'lensConstants') {
      const parts = was as Readonly<Record<string, unknown>>
      whole[field] = Object.fromEntries(
        Object.entries(stated as Readonly<Record<string, unknown>>).map(([part, value]) => [
          part,
          parts[part] !== undefined && valueIn(parts[part]) === valueIn(value) ? parts[part] : value,
        ]),
      )
    } else if (field !== 'notUnderstood' && valueIn(was) === valueIn(stated)) whole[field] = was
  }
  // Which words were not understood does not depend on where they now stand.
  const texts = (words: Case['notUnderstood']): string => canonicalJson(words?.map(({ text }) => text) ?? [])
  if (texts(anew.notUnderstood) === texts(former.notUnderstood) && former.notUnderstood !== undefined)
    whole['notUnderstood'] = former.notUnderstood
  return whole as Case
}
