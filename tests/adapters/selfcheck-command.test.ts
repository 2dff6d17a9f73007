import { mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { selfcheckCommand } from '../../adapters/selfcheck-command.js'
import { openStore } from '../../adapters/store/open.js'
import { at } from '../consult/invented-people.js'
import { trailFolder } from './a-trail-file.js'

const files = trailFolder()
afterAll(files.clear)

const folder = dirnameOf(files.freshPath())

async function checked(environment: Readonly<Record<string, string>>) {
  const said = { out: '', err: '' }
  const code = await selfcheckCommand(environment, {
    out: (text) => {
      said.out += text
    },
    err: (text) => {
      said.err += text
    },
    width: 80,
    today: '2026-03-02',
  })
  return { code, ...said }
}

function dirnameOf(path: string): string {
  const above = join(path, '..')
  mkdirSync(above, { recursive: true })
  return above
}

describe('soundings selfcheck', () => {
  it('says part by part that a sound installation works, and makes no trail by looking', async () => {
    const path = join(folder, 'not-yet', 'trail.db')
    const { code, out, err } = await checked({ DATABASE_URL: `sqlite:${path}` })
    expect(err).toBe('')
    expect(code).toBe(0)
    for (const part of ['settings', 'rules and lens list', 'formulas', 'plan', 'picture', 'trail'])
      expect(out).toContain(`works    ${part}: `)
    expect(out).toContain('10 of 10 powers as printed')
    expect(out).toContain('none yet; the first start makes it')
    expect((await checked({ DATABASE_URL: `sqlite:${path}` })).out).toContain('none yet')
  })

  it('finds nothing wrong where a chat is on and the department has no lens list', async () => {
    const chat = { SLACK_BOT_TOKEN: 'xoxb-invented', SLACK_SIGNING_SECRET: 'invented' }
    const { code, out, err } = await checked({ DATABASE_URL: `sqlite:${join(folder, 'none.db')}`, ...chat })
    expect(err).toBe('')
    expect(code).toBe(0)
    expect(out).toContain('no lens list: plans name no lens')
  })

  it('reads a trail that is there', async () => {
    const url = `sqlite:${join(folder, 'there.db')}`
    await (await openStore(url, at(0))).close()
    expect((await checked({ DATABASE_URL: url })).out).toContain('works    trail: can be read; no consult in it yet')
  })

  it('says every part that does not work, and tries the others', async () => {
    const text = join(folder, 'text.db')
    writeFileSync(text, 'no database at all, but long enough to be taken for one'.repeat(40))
    const rules = join(folder, 'rules')
    mkdirSync(join(rules, 'lens'), { recursive: true })
    writeFileSync(join(rules, 'lens', 'broken.json'), '{')
    const { code, out, err } = await checked({
      DATABASE_URL: `sqlite:${text}`,
      SOUNDINGS_RULES: rules,
      SOUNDINGS_GROUPS: join(folder, 'no-groups.json'),
      SOUNDINGS_OPERATIONS: join(folder, 'no-operations.csv'),
    })
    expect(code).toBe(1)
    expect(err).toMatch(/does not rules and lens list: .*broken\.json:1: /)
    for (const part of ['plan', 'picture', 'trail', 'groups', 'operations']) expect(err).toContain(`does not ${part}: `)
    expect(out).toContain('works    formulas: ')
    expect(out).not.toContain('Not tried')
  })

  it('names each setting that is wrong', async () => {
    const { code, err } = await checked({ DATABASE_URL: 'mysql://x', PORT: 'many' })
    expect(code).toBe(1)
    expect(err).toContain('does not settings: DATABASE_URL: ')
    expect(err).toContain('does not settings: PORT: ')
  })

  it('says where no trail could be made', async () => {
    const file = join(folder, 'a-file')
    writeFileSync(file, '')
    const { code, err } = await checked({ DATABASE_URL: `sqlite:${join(file, 'trail.db')}` })
    expect(code).toBe(1)
    expect(err).toContain(`does not trail: none yet, and ${file} is no folder that can be written to`)
  })
})
