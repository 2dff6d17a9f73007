import type { Plan } from '../plan/plan.js'
import type { Block, Section } from './card.js'
import { caseRows } from './case-words.js'
import { WORDS } from './words-en.js'

/** The case as it was read, each value with its source text, and whatever could not be read. */
export function caseSection(plan: Plan): Section {
  const unread = plan.case.notUnderstood ?? []
  const table: Block = {
    kind: 'table',
    caption: WORDS.caseTable,
    columns: [...WORDS.caseColumns],
    rows: caseRows(plan.case).map((row) => [
      row.label,
      row.assumed === undefined ? row.value : `${row.value} (${WORDS.assumed(row.assumed)})`,
      row.source,
    ]),
  }
  const rest: Block =
    unread.length === 0
      ? { kind: 'line', text: WORDS.nothingMissed, weight: 'quiet' }
      : { kind: 'fact', label: WORDS.notUnderstood, text: unread.map((item) => `“${item.text}”`).join(' · '), strong: true }
  return { id: 'case', title: WORDS.sections.case, blocks: [table, rest] }
}
