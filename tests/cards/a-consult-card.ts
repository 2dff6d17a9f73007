import type { Block, Card } from '../../src/cards/card.js'
import { type ConsultCardInput, consultCard } from '../../src/cards/consult-card.js'
import type { Plan } from '../../src/plan/plan.js'
import { A_PLAN } from './a-plan.js'

export const INPUT: ConsultCardInput = {
  ref: 'MARSH-7',
  plan: A_PLAN,
  askedBy: { id: 'web:asker', name: 'B. Asker', grade: 'registrar' },
  question: 'Chop, or plan a manual extraction from the start?',
  revision: 1,
  opinions: [],
  comments: 0,
  openedAt: '2026-11-24T18:00:00Z',
}

export const cardOf = (parts: Partial<ConsultCardInput> = {}): Card => consultCard({ ...INPUT, ...parts })
export const planWith = (parts: Partial<Plan>): Plan => ({ ...A_PLAN, ...parts })

export const textOf = (block: Block): string => {
  if (block.kind === 'fact') return `${block.label}: ${block.text}`
  if (block.kind === 'list') return block.items.join('\n')
  if (block.kind === 'table') return block.rows.flat().join('\n')
  return block.kind === 'picture' ? block.alternative : block.text
}
export const first = (card: Card): string => card.first.map(textOf).join('\n')
export const section = (card: Card, id: string): string =>
  card.sections
    .filter((one) => one.id === id)
    .flatMap((one) => [one.title, ...one.blocks.map(textOf)])
    .join('\n')

export function need<Value>(value: Value | undefined): Value {
  if (value === undefined) throw new Error('the invented plan lacks what this test stands on')
  return value
}
