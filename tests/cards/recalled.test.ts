import { describe, expect, it } from 'vitest'
import { recallBlocks, stateSections } from '../../src/cards/consult-state.js'
import { standing } from '../../src/cards/documents/document-parts.js'
import { fold } from '../../src/consult/consult.js'
import { ASKED, at } from '../consult/invented-people.js'
import { UNANSWERED } from './documents/a-consult.js'

const RECALL = {
  type: 'consult-recalled',
  ref: ASKED.ref,
  by: { id: 'terminal:alder', name: 'alder' },
  at: at(9),
  wrong: 'The rule x was found wrong.',
  here: 'Here: warning shown.',
} as const
const SAID = 'RECALLED 2 Mar 2026: The rule x was found wrong. Look at this consult again before you rely on it.'

describe('a consult that was recalled', () => {
  it('says so first, on its card and on every sheet, and in what happened says where it stood', () => {
    const consult = fold([ASKED, RECALL])
    if (consult.status === 'not-asked') throw new Error('it was asked')
    expect(recallBlocks(consult)).toEqual([{ kind: 'line', text: SAID, weight: 'strong' }])
    expect(standing({ ...UNANSWERED, recalls: consult.recalls })[0]).toMatchObject({ text: SAID })
    expect(JSON.stringify(stateSections(consult))).toContain('The rule x was found wrong. Here: warning shown.')
    expect(consult.status).toBe('asked')
  })
})
