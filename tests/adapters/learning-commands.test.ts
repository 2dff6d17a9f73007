import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import Sqlite from 'better-sqlite3'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { readGround } from '../../adapters/ground.js'
import { type LearningCommandOptions, learningCommand } from '../../adapters/learning-command.js'
import { recallCommand } from '../../adapters/recall-command.js'
import { putNotes } from '../../adapters/recall-notes.js'
import { whatIsRecalled } from '../../adapters/recall-what.js'
import { appendEvents } from '../../adapters/store/appending.js'
import { openKeeping, openReading, openStore } from '../../adapters/store/open.js'
import { openForChecking } from '../../adapters/trail-tables.js'
import { verifyCommand } from '../../adapters/verify-command.js'
import { fold } from '../../src/consult/consult.js'
import { makePlan } from '../../src/plan/make-plan.js'
import { ASKED, ASKER, at, PLACE } from '../consult/invented-people.js'
import { ordinaryCase, planOf } from '../learning/invented-series.js'
import { postgresIsThere, startPostgres } from '../tools/postgres.js'
import { writePlans, writeTaughtTrail } from './a-taught-trail-file.js'
import { trailFolder } from './a-trail-file.js'

const BY = { id: 'terminal:alder', name: 'alder' }
const files = trailFolder()
afterAll(files.clear)
const path = files.freshPath()
beforeAll(() => writeTaughtTrail(path, 14))

function terminal() {
  const said = { out: '', err: '' }
  return {
    said,
    out: (text: string) => {
      said.out += text
    },
    err: (text: string) => {
      said.err += text
    },
    width: 100,
    today: '2026-11-24',
  }
}

async function learn(options: LearningCommandOptions) {
  const opened = await openReading(`sqlite:${path}`)
  const screen = terminal()
  const code = await learningCommand(options, opened.trail, screen)
  await opened.close()
  return { code, ...screen.said }
}

describe('soundings learning', () => {
  it('prints what the trail taught', async () => {
    const { code, out } = await learn({})
    expect(code).toBe(0)
    expect(out).toContain('15 consults up to 2026-11-24; 14 with an outcome on record.')
    expect(out).toMatch(/14 usable eyes; 30 are the fewest for one\s+constant/)
  })

  it('writes a page and one CSV file a table, the same figures unrounded', async () => {
    const [page, folder] = [join(files.folder, 'learning.html'), join(files.folder, 'figures')]
    const { code, out } = await learn({ out: page, csv: folder })
    expect([code, out]).toEqual([0, ''])
    expect(readFileSync(page, 'utf8')).toMatch(/^<!doctype html>[\s\S]*<svg/)
    const rows = readFileSync(join(folder, 'prediction-error.csv'), 'utf8').split('\r\n')
    expect(rows[0]).toMatch(/^formula,length_adjustment,axial_length,eyes,mean_error_d,mean_error_d_low95/)
    expect(rows[1]).toMatch(/^SRK\/T,no length adjustment,all lengths,14,-?0\.\d{6,}/)
    for (const name of ['single-constants', 'haigis-constants', 'capsule-rupture', 'opinions'])
      expect(existsSync(join(folder, `${name}.csv`))).toBe(true)
    expect(readFileSync(join(folder, 'opinions.csv'), 'utf8')).toContain('Need this first,fewer than 5,,')
  })

  it('takes all operations of the unit from a file, and says so', async () => {
    const operations = join(files.folder, 'operations.csv')
    writeFileSync(
      operations,
      `date,rupture,consult\n${Array.from({ length: 40 }, (_, i) => `2026-03-${String((i % 28) + 1).padStart(2, '0')},no,${i < 3 ? `QUAY-${i + 1}` : ''}`).join('\n')}\n`,
    )
    const { out } = await learn({ operations, baseRate: '2023-24' })
    expect(out.replaceAll(/\s+/g, ' ')).toContain('All operations imported: 40, of which 3 are consults with a risk of their own')
  })

  it.each([
    [{ baseRate: '1999' }, /--base-rate 1999: write one of 2001-06/],
    [{ from: 'March' }, /--from: "March" is no day; write it as 2026-03-02/],
    [{ operations: '/nowhere.csv' }, /--operations \/nowhere.csv: cannot be read/],
  ])('refuses %j with what to write instead', async (options, because) => {
    const { code, err } = await learn(options)
    expect(code).toBe(2)
    expect(err).toMatch(because)
  })
})

async function recall(
  options: Parameters<typeof whatIsRecalled>[0],
  more: { json?: boolean; notify?: boolean; from?: string } = {},
) {
  const read = await readGround({}, 'allowed')
  if ('faults' in read) throw new Error(read.faults.join())
  const recalled = await whatIsRecalled(options, read.ground)
  if ('faults' in recalled) return { code: 2, out: '', err: recalled.faults.join('\n') }
  const opened = await openReading(`sqlite:${more.from ?? path}`)
  const screen = terminal()
  const code = await recallCommand(
    recalled,
    {
      trail: opened.trail,
      recompute: (plan) => makePlan(plan.case, { ...read.ground, monteCarlo: false }),
      ...(more.notify === true
        ? {
            notify: async (notes) => {
              const database = await openKeeping(`sqlite:${path}`)
              const put = await putNotes(database, notes, at(30), BY)
              await database.close()
              return put
            },
          }
        : {}),
    },
    { json: more.json ?? false },
    screen,
  )
  await opened.close()
  return { code, ...screen.said }
}

describe('soundings recall', () => {
  it('lists the open consult that a wrong rule spoke in, what it says now, and its people', async () => {
    const { out } = await recall({ rule: 'long-eye-low-bottle' })
    expect(out).toContain(
      'Open (1)\nMARSH-7  asked 2026-03-02 by Wren, asked\n  critical precaution shown: Lower the bottle at entry.',
    )
    expect(out).toContain('computed anew now: long-eye-low-bottle: fires → absent')
    expect(out).toContain('Wren (slack:T1:U1)  asked: MARSH-7')
    expect(out).toContain('1 consult of 15 touched.')
  })

  it('lists the past consults whose lens stood on a formula, and finds nothing else on the same ground', async () => {
    const { out } = await recall({ formula: 'SRK/T' })
    expect(out).toContain('Past (14)')
    expect(out).toMatch(/the lens recommended, \+[\d.]+ D, stood on SRK\/T; the other rows that it stood on ask for \+/)
    expect(out).toContain('the program as it is now says the same')
    expect(out).toContain('Alder (slack:T1:U2)')
  })

  it('lists what a number touched, a line of JSON for each consult', async () => {
    const { out } = await recall({ coefficient: 'odds ratio, male' }, { json: true })
    const lines = out
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line) as { ref: string; stoodOn: string[] })
    expect(lines).toHaveLength(14)
    expect(lines[0]?.stoodOn[0]).toMatch(/risk shown: Capsule rupture/)
  })

  it('says what a corrected odds ratio makes of each figure, or that it is not counted there', async () => {
    const { out, code } = await recall({ coefficient: 'odds ratio, male', corrected: '1.15' }, { json: true })
    expect(code).toBe(0)
    const [first] = out.trim().split('\n')
    const { wouldChange } = JSON.parse(first ?? '{}') as { wouldChange: string[] }
    expect(wouldChange).toEqual([
      expect.stringMatching(/^capsule rupture by the 2001–06 odds model, .*: .* → .*/),
      'the recommended lens does not stand on it',
    ])
    expect((await recall({ coefficient: 'capsule-rupture-odds-2009 odds ratio, glaucoma', corrected: '1.4' })).out).toContain(
      '“glaucoma” is not counted in its figure, so nothing changes',
    )
  })

  it('says why a number inside a formula cannot be put in, and what the other rows ask for instead', async () => {
    const { out, err } = await recall({ coefficient: 'SRK/T length correction, per mm squared', corrected: '-0.0238' })
    expect(err).toContain('SRK/T is built with its numbers')
    expect(out).toMatch(/It was -0.0237 and should be -0.0238/)
    expect(out).toMatch(/the other rows that it stood on ask for \+/)
    expect(out).not.toContain('with the corrected value')
  })

  it('says what a corrected constant of the lens list makes of the lens recommended', async () => {
    const read = await readGround({}, 'allowed')
    if ('faults' in read) throw new Error(read.faults.join())
    const listed = files.freshPath()
    const { lensConstants: _stated, ...known } = ordinaryCase({
      axialLengthMm: 23.5,
      keratometryD: 43.5,
      depthMm: 3.1,
      noiseD: 0,
    })
    await writePlans(listed, [
      ['QUAY-1', await makePlan(known, { ...read.ground, monteCarlo: false })],
      ['QUAY-2', planOf(ordinaryCase({ axialLengthMm: 23.5, keratometryD: 43.5, depthMm: 3.1, noiseD: 0 }))],
    ])
    const { out } = await recall({ lens: 'quay a', constant: 'A', corrected: '118.0' }, { from: listed })
    expect(out).toContain('The constant A of quay a in the lens list was found wrong; it should be 118.')
    expect(out).toContain('1 consult of 2 touched.')
    expect(out).toMatch(/computed for quay a with A 118.9 of the lens list, and \+[\d.]+ D was recommended/)
    // SRK/T asks for about 1.4 D less power for 0.9 less of A in an ordinary eye (Retzlaff 1990), so the lens moves by a D or more.
    const [, before = '', after = ''] = /with the corrected value: recommended lens \+([\d.]+) D → \+([\d.]+) D/.exec(out) ?? []
    expect(Number(before) - Number(after)).toBeGreaterThanOrEqual(0.5)
    expect(Number(before) - Number(after)).toBeLessThanOrEqual(2)
    expect((await recall({ lens: 'Quay A', constant: 'A' }, { from: listed })).out).toContain(
      'the program as it is now says the same',
    )
  })

  it('compares what past plans showed with a changed set of rules', async () => {
    const folder = join(files.folder, 'department')
    mkdirSync(folder, { recursive: true })
    const { out } = await recall({ rules: folder })
    expect(out).toMatch(/The rules were changed, from set [0-9a-f]{12} to set [0-9a-f]{12}/)
    expect(out).toContain('long-eye-low-bottle: fires → absent')
  })

  it('says when nothing stands on it', async () => {
    expect((await recall({ rule: 'no-such-rule' })).out).toContain('It stands in no plan of this trail; check how it is spelt.')
  })

  it.each([
    [{}, /Name one thing/],
    [{ rule: 'x', formula: 't2' }, /Name one thing/],
    [{ formula: 'unknown' }, /--formula unknown: write one of srk-t, t2/],
    [{ coefficient: 'no such number' }, /no number is called so/],
    [{ rules: '/nowhere' }, /--rules \/nowhere: cannot be read/],
    [{ rule: 'x', corrected: '1' }, /--corrected belongs to --coefficient or to --lens/],
    [{ coefficient: 'odds ratio, male', corrected: 'more' }, /--corrected more: this is not a number/],
    [{ coefficient: 'odds ratio', corrected: '2' }, /names several numbers/],
    [{ coefficient: 'odds ratio, male', corrected: '1.28' }, /that is the value that the program has/],
    [{ lens: 'Quay A', constant: 'B' }, /--constant B: write one of A, SF, pACD, a0, a1, a2/],
    [{ constant: 'A' }, /Name one thing/],
    [{ lens: 'No such', constant: 'A', corrected: '118' }, /the lens list has no such lens .* It has: Quay A/],
  ])('refuses %j', async (options, because) => {
    const { code, err } = await recall(options)
    expect(code).toBe(2)
    expect(err).toMatch(because)
  })

  it('puts one note a consult on its way, once, however often it is run, and leaves the trail as it should be', async () => {
    expect((await recall({ rule: 'long-eye-low-bottle' }, { notify: true })).err).toContain(
      '1 note put on the way to the threads.',
    )
    expect((await recall({ rule: 'long-eye-low-bottle' }, { notify: true })).err).toContain(
      '0 notes put on the way to the threads, 1 had been before.',
    )
    const file = new Sqlite(path, { readonly: true })
    const payloads = file.prepare("select payload from outbox where kind = 'note'").pluck().all().map(String)
    file.close()
    expect(payloads).toHaveLength(1)
    expect(JSON.parse(payloads[0] ?? '{}')).toMatchObject({ kind: 'thread-note', ref: 'MARSH-7', mentions: ['slack:T1:U1'] })
    expect(payloads[0]).toContain('The rule long-eye-low-bottle was found wrong.')

    const opened = await openReading(`sqlite:${path}`)
    const consult = fold(await opened.trail.events('MARSH-7'))
    await opened.close()
    expect(consult).toMatchObject({
      status: 'asked',
      recalls: [{ by: BY, wrong: 'The rule long-eye-low-bottle was found wrong.' }],
    })

    const checking = await openForChecking(`sqlite:${path}`)
    const screen = terminal()
    expect(await verifyCommand(checking, {}, screen)).toBe(0)
    await checking.close()
  })
})

describe.runIf(postgresIsThere())('recall notes in PostgreSQL', () => {
  it('go into the outbox once', async () => {
    const server = await startPostgres()
    try {
      const url = await server.freshSchema()
      const store = await openStore(url, at(0))
      const database = await openKeeping(url)
      for (const ref of ['MARSH-7', 'QUAY-2'])
        await database.db
          .transaction()
          .execute((writer) => appendEvents(database, writer, [{ ...ASKED, ref }], 0, () => `salt of ${ref}`))
      const note = { ref: 'MARSH-7', place: PLACE, to: [ASKER], wrong: 'The rule x was found wrong.', sentence: 'Look again.' }
      expect(await putNotes(database, [note, { ...note, ref: 'QUAY-2' }], at(1), BY)).toEqual({ put: 2, before: 0 })
      expect(await putNotes(database, [note], at(2), BY)).toEqual({ put: 0, before: 1 })
      expect((await store.view.events('QUAY-2')).at(-1)).toMatchObject({ type: 'consult-recalled', by: BY, here: 'Look again.' })
      await store.close()
      await database.close()
      expect(
        await server.query(url, "select count(*)::int as notes from outbox where kind = 'note' and state = 'queued'"),
      ).toEqual([{ notes: 2 }])
    } finally {
      await server.stop()
    }
  }, 60_000)
})
