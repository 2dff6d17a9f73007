import { describe, expect, it } from 'vitest'
import { foundCard } from '../../src/cards/found-card.js'
import { type PreviewInput, previewCard } from '../../src/cards/preview-card.js'
import { guidanceCard, identifiersCard, noteCard, refusalCard, summarySentence } from '../../src/cards/short-cards.js'
import { plainText } from '../../src/views/plain.js'
import { slackMessages } from '../../src/views/slack-blocks.js'
import { A_PLAN } from './a-plan.js'

const shown = (card: Parameters<typeof plainText>[0]): string => plainText(card, { width: 100_000 })

const PREVIEW: PreviewInput = {
  items: [{ label: 'axial length', shown: '29.60 mm', source: 'AL 29.60', assumed: 'unit mm' }],
  problems: [],
  plan: A_PLAN,
  draftId: 'draft-1',
  canPost: true,
}
const PROBLEM = { line: 3, item: 'K 4.21', blocks: true, message: 'K 4.21 is outside 20 to 70 D', instead: 'K 42.1' }

describe('the preview', () => {
  it('shows how each item was read, from which words and with what assumed', () => {
    expect(shown(previewCard(PREVIEW))).toMatch(/Axial length\s+29\.60 mm \(assumed: unit mm\)\s+AL 29\.60/)
  })

  it('offers to post, to say who is asked, to correct or cancel', () => {
    expect(previewCard(PREVIEW).choices.map((choice) => choice.does)).toEqual([
      { action: 'post-draft', draftId: 'draft-1' },
      { action: 'open-form', form: 'ask', draftId: 'draft-1' },
      { action: 'correct-draft', draftId: 'draft-1' },
      { action: 'cancel-draft', draftId: 'draft-1' },
    ])
  })

  it('withholds the post while a problem blocks, and says line, item and what to write instead', () => {
    const card = previewCard({ ...PREVIEW, problems: [PROBLEM] })
    expect(card.choices.map((choice) => choice.does.action)).toEqual(['correct-draft', 'cancel-draft'])
    expect(shown(card)).toContain('Line 3, “K 4.21”: K 4.21 is outside 20 to 70 D. Write instead: K 42.1')
  })

  it('lets one problem never hide another', () => {
    const problems = [PROBLEM, { ...PROBLEM, line: 4, item: 'ACD 34' }, { ...PROBLEM, line: 5, item: 'LT 49', blocks: false }]
    const text = shown(previewCard({ ...PREVIEW, problems }))
    expect(['Line 3', 'Line 4', 'Line 5'].filter((line) => !text.includes(line))).toEqual([])
  })

  it('withholds the post when there is no plan, and says so when the place forbids it', () => {
    const { plan: _, ...without } = PREVIEW
    expect(previewCard(without).choices.map((choice) => choice.does.action)).not.toContain('post-draft')
    const forbidden = previewCard({ ...PREVIEW, canPost: false, cannotPostBecause: 'The bot is not in this channel' })
    expect(forbidden.choices.map((choice) => choice.does.action)).not.toContain('post-draft')
    expect(shown(forbidden)).toContain('The bot is not in this channel.')
  })

  it('is one message on a chat, and counts what is posted with it', () => {
    const items = Array.from({ length: 25 }, (_, index) => ({ ...need(PREVIEW.items[0]), label: `item ${index}` }))
    const card = previewCard({ ...PREVIEW, items })
    expect(slackMessages(card)).toHaveLength(1)
    expect(shown(card)).toContain(
      'Posted with it: 1 more critical, 2 warnings, 1 note, 1 more choice to weigh, 1 fact not stated (alpha blocker)',
    )
  })

  it('lists what was not understood', () => {
    expect(shown(previewCard(PREVIEW))).toContain('Not understood: “seen w. Friday list”')
  })
})

const ALL = { page: 1, perPage: 5, total: 1, notStated: 0, lookedThroughAll: true }

describe('short cards', () => {
  it('name the kind and the line of an identifier and what to do', () => {
    const text = shown(identifiersCard([{ kind: 'date-of-birth', line: 2 }]))
    expect(text).toContain('Date of birth, line 2')
    expect(text).toContain('send it again')
  })

  it('list what a search found, and what to try when nothing was', () => {
    const found = { ref: 'MARSH-7', askedAt: '2026-11-24T18:00:00Z', askedBy: { name: 'B. Asker' }, opinions: 2 }
    expect(shown(foundCard('brown', [found], ALL))).toContain('MARSH-7 · 24 Nov 2026 · Asked by B. Asker · 2 answers')
    expect(shown(foundCard('brown', [], { ...ALL, total: 0 }))).toContain('Nothing found.')
  })

  it('show examples as they are to be typed', () => {
    expect(shown(guidanceCard('Send a case like this.', ['LE 58M, AL 29.60']))).toContain('- LE 58M, AL 29.60')
  })

  it('always have a summary that fits a notification', () => {
    const long = 'word '.repeat(60).trim()
    const cards = [refusalCard(long), noteCard(long), guidanceCard(long, []), foundCard(long, [], { ...ALL, total: 0 })]
    expect(cards.filter((card) => card.summary.length > 140 || card.summary === '')).toEqual([])
    expect(summarySentence(`Short first. ${long}`, 'fallback')).toBe('Short first.')
  })
})

function need<Value>(value: Value | undefined): Value {
  if (value === undefined) throw new Error('the invented preview lacks what this test stands on')
  return value
}
