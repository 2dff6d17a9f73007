import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { readGroups } from '../../adapters/groups-file.js'
import { serve } from '../../adapters/main.js'
import { readSettings } from '../../adapters/settings.js'

const folder = mkdtempSync(join(tmpdir(), 'soundings-groups-'))
afterAll(() => rmSync(folder, { recursive: true }))

const written = (content: unknown): string => {
  const path = join(folder, 'groups.json')
  writeFileSync(path, typeof content === 'string' ? content : JSON.stringify(content))
  return path
}
const faultsOf = (content: unknown): readonly string[] => {
  const read = readGroups(written(content))
  return 'faults' in read ? read.faults.map((fault) => fault.slice(fault.indexOf(': ') + 2)) : []
}

describe('the file of the department’s groups', () => {
  it('may be absent, and the example is one', () => {
    expect(readGroups(undefined)).toEqual({ groups: [] })
    const read = readGroups('examples/groups.json')
    expect('groups' in read && read.groups.map(({ name }) => name)).toEqual(['Retina team', 'Cornea clinic'])
  })

  it('is refused with every fault and its place', () => {
    expect(
      faultsOf({
        groups: [
          { name: 'Retina team', members: ['Odile Finch', 'odile finch', 'U0002', 'the cornea team'] },
          { name: 'retina team', members: [] },
          { name: 'Cornea team', members: ['slack:T0001:U0002', 'teams:tenant:nobody'] },
        ],
      }),
    ).toEqual([
      'groups.0.members.1: the same member twice',
      'groups.0.members.2: write a name as the chat shows it, or an id such as slack:T0001:U0002',
      'groups.1.members: at least one member',
      'groups.2.members.1: write a name as the chat shows it, or an id such as slack:T0001:U0002',
      'groups.0.members.3: a group cannot be a member of a group: list its people',
      'groups.1.name: another group is called retina team too',
    ])
    expect(faultsOf({ teams: [] })).not.toEqual([])
    expect(faultsOf('{ "groups": [')).toHaveLength(1)
    const missing = readGroups(join(folder, 'nothing-here.json'))
    expect('faults' in missing && missing.faults[0]).toContain('nothing-here.json')
  })

  it('keeps the program from starting while something is wrong with it', async () => {
    const path = written({ groups: [{ name: 'Retina team', members: [] }] })
    const read = readSettings({ DATABASE_URL: `sqlite:${join(folder, 'trail.db')}`, SOUNDINGS_GROUPS: path, LOG_LEVEL: 'silent' })
    if ('faults' in read) throw new Error('the settings themselves are sound')
    expect(await serve(read.settings)).toEqual({ faults: [`${path}: groups.0.members: at least one member`] })
  })
})
