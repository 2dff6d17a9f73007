import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { lessonsForPage, operationsFaults } from '../../adapters/page-learning.js'
import { openReading } from '../../adapters/store/open.js'
import { learnFrom } from '../../src/learning/learning.js'
import { ORDINARY_BASE_RATE } from '../../src/learning/rupture-chart.js'
import { learningHtml } from '../../src/views/learning-page.js'
import { writeTaughtTrail } from './a-taught-trail-file.js'
import { changeByHand, trailFolder } from './a-trail-file.js'

const PAGE = { platform: 'web', workspace: 'local' } as const
const files = trailFolder()
afterAll(files.clear)
const path = files.freshPath()
beforeAll(() => writeTaughtTrail(path, 12))

async function shown(source: Parameters<typeof lessonsForPage>[2]) {
  const opened = await openReading(`sqlite:${path}`)
  const { unread, ...counted } = await lessonsForPage(opened.trail, PAGE, source)
  await opened.close()
  const learning = learnFrom(counted.lessons, {
    ...counted,
    made: '2026-11-24',
    unread: unread.length,
    baseRate: ORDINARY_BASE_RATE,
  })
  return learningHtml(learning)
    .replace(/<[^>]+>/g, ' ')
    .replace(/\s+/g, ' ')
}

describe('what the learning page counts', () => {
  it('is only what was put on the page, where its visitors may see no other, and it says so', async () => {
    const page = await shown({ counts: 'page' })
    expect(page).toContain('0 consults up to 2026-11-24')
    expect(page).toContain('the consults put on this page, and none of the chats')
    expect(page).toContain('these consults only, not all operations of the unit')
  })

  it('is every consult of the trail where the department has said so, by the place they were put, and names none', async () => {
    const page = await shown({ counts: 'all' })
    expect(page).toContain('13 consults up to 2026-11-24; 12 with an outcome on record.')
    expect(page).toContain('every consult of this trail (13 put in Slack)')
    expect(page).not.toMatch(/QUAY-|MARSH-|Wren|Alder/)
  })

  it('has all operations of the unit as its denominator where a file holds them', async () => {
    const operationsFile = join(files.folder, 'operations.csv')
    const rows = Array.from({ length: 40 }, (_, index) => `2026-04-${String(1 + (index % 28)).padStart(2, '0')},no,`)
    writeFileSync(operationsFile, ['date,rupture,consult', ...rows, '2026-04-29,yes,'].join('\n'))
    const page = await shown({ counts: 'all', operationsFile })
    expect(page).toContain('all 41 operations of the unit that its file holds')
    expect(page).toContain('All operations imported: 41')
    expect(await operationsFaults({ SOUNDINGS_OPERATIONS: operationsFile })).toEqual([])
    expect(await operationsFaults({})).toEqual([])
  })

  it('says which line of the file is wrong and counts the consults alone; a start refuses such a file', async () => {
    const operationsFile = join(files.folder, 'wrong.csv')
    writeFileSync(operationsFile, 'date,rupture\n2026-04-01,no\nsoon,no\n')
    const page = await shown({ counts: 'all', operationsFile })
    expect(page).toContain('could not be read as it is now: line 3, column date: this is not a day')
    expect(page).toContain('Consults only: 12 operations')
    expect(await operationsFaults({ SOUNDINGS_OPERATIONS: operationsFile })).toEqual([
      'SOUNDINGS_OPERATIONS: line 3, column date: this is not a day. Write it as 2026-03-02',
    ])
    const nowhere = await operationsFaults({ SOUNDINGS_OPERATIONS: '/nowhere.csv' })
    expect(nowhere.join()).toMatch(/^SOUNDINGS_OPERATIONS: cannot be read/)
  })

  it('leaves out consults whose plan was erased, and says how many', async () => {
    changeByHand(path, ["update plans set body = x'' where hash in (select hash from plans order by hash limit 3)"])
    const page = await shown({ counts: 'all' })
    expect(page).toMatch(/[23] consults with an outcome are in no figure: the plan was erased\./)
    expect(page).not.toContain('soundings verify')
  })
})
