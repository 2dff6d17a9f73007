import { describe, expect, it } from 'vitest'
import type { Person } from '../../src/consult/people.js'
import type { Mentioned } from '../../src/desk/ports.js'
import { untold, whoIsMeant } from '../../src/desk/whom.js'
import { ASKER, PLACE } from '../consult/invented-people.js'
import { deskInMemory } from './desk-in-memory.js'

const ODILE: Person = { id: 'slack:T1:U11', name: 'Odile Finch', grade: 'consultant', field: 'cornea' }
const ADA: Person = { id: 'slack:T1:U12', name: 'Ada Finch' }
const TWIN: Person = { id: 'slack:T1:U13', name: 'Odile Finch', grade: 'fellow', field: 'retina' }
const ROWAN: Person = { id: 'slack:T1:U14', name: 'Rowan Vale' }
const GROUPS = [
  { name: 'Retina team', members: ['Rowan Vale', 'slack:T1:U12', 'slack:T2:U1', 'Teal Marsh'] },
  { name: 'Away clinic', members: ['slack:T2:U1'] },
]

async function meant(
  names: string | readonly string[],
  known: readonly Person[] = [ODILE, ADA, ROWAN],
  mentioned: readonly Mentioned[] = [],
) {
  const { view, deps } = deskInMemory({ groups: GROUPS })
  const people = async () => known
  return whoIsMeant([names].flat(), { by: ASKER, place: PLACE, mentioned }, { ...view, people }, deps)
}

describe('a name', () => {
  it.each([
    'Odile Finch',
    'odile finch',
    'Dr Odile Finch',
    'ODILE  FINCH',
    'Odilé Finch',
    'Odile',
    'O. Finch',
    'O Finch',
    ODILE.id,
  ])('%j is hers', async (name) => {
    expect(await meant(name)).toMatchObject({
      names: ['Odile Finch'],
      reached: [{ of: 'Odile Finch', name: 'Odile Finch', id: ODILE.id }],
      people: [ODILE],
      problems: [],
    })
  })

  it('that two are called by is refused with both', async () => {
    const { problems, names } = await meant('Finch')
    expect([problems, names]).toEqual([
      ['“Finch” may be Odile Finch (consultant, cornea) or Ada Finch. Write the whole name, or mention the person with @'],
      [],
    ])
    const twins = await meant('Odile Finch', [ODILE, TWIN])
    expect(twins.problems[0]).toContain('Odile Finch (consultant, cornea) or Odile Finch (fellow, retina)')
    expect((await meant('Odile Finch (retina)', [ODILE, TWIN])).people).toEqual([TWIN])
    expect((await meant('Odile Finch (consultant)', [ODILE, TWIN])).people).toEqual([ODILE])
  })

  it('that two browsers of the page go by is one person, at all of them', async () => {
    const { view, deps } = deskInMemory()
    const two = ['web:aaaabbbbccccdddd', 'web:eeeeffffgggghhhh'].map((id) => ({ id, name: 'Odile Finch' }))
    const place = { platform: 'web', workspace: 'local', channel: 'page' } as const
    const found = await whoIsMeant(['Odile Finch'], { by: ASKER, place }, { ...view, people: async () => two }, deps)
    expect([found.names, found.reached.map(({ id }) => id), found.problems]).toEqual([
      ['Odile Finch'],
      two.map(({ id }) => id),
      [],
    ])
  })

  it('with a slip is asked about, and a new one is taken when that is said', async () => {
    expect((await meant('Odlie Finch')).problems).toEqual([
      '“Odlie Finch” is not known here. Did you mean Odile Finch (consultant, cornea)? Write it like that; for somebody else who has not written here yet: Odlie Finch (new)',
    ])
    expect(await meant('Rowan Dale (new)')).toMatchObject({ names: ['Rowan Dale'], reached: [], problems: [] })
  })

  it('that nobody is known by stands as it is, and whoever wrote it is told so', async () => {
    const { names, reached, problems } = await meant('Maren Quill')
    expect([names, reached, problems]).toEqual([['Maren Quill'], [], []])
    expect(untold(names, reached)).toEqual([expect.stringContaining('“Maren Quill” is not known here yet')])
  })

  it.each(['Odile Finch today', 'Odile Finch 58', 'somebody from the retina team'])('%j is none', async (name) => {
    expect((await meant(name)).problems).toEqual([expect.stringContaining('is not read as a name')])
  })

  it('marked by the chat is that person, whoever else is called so', async () => {
    const marked: Mentioned = { said: 'Odile Finch', kind: 'person', id: TWIN.id }
    expect((await meant('Odile Finch', [ODILE, TWIN], [marked])).people).toEqual([TWIN])
    const byTeams: Mentioned = { said: 'Odile Finch', kind: 'person', id: 'teams:t:29:abc' }
    expect((await meant('Odile Finch', [ODILE], [byTeams])).people).toEqual([ODILE])
    expect((await meant('Odile Finch', [], [byTeams])).reached).toEqual([
      { of: 'Odile Finch', name: 'Odile Finch', id: 'teams:t:29:abc' },
    ])
  })

  it('“me” is whoever writes it', async () => expect((await meant('me')).people).toEqual([ASKER]))
})

describe('a group', () => {
  it.each(['Retina team', 'the retina team', 'RETINA TEAM'])('%j is its people on this chat', async (name) => {
    const { names, reached, people } = await meant(name)
    expect([names, people]).toEqual([['Retina team'], []])
    expect(reached).toEqual([
      { of: 'Retina team', name: 'Rowan Vale', id: ROWAN.id },
      { of: 'Retina team', name: 'Ada Finch', id: ADA.id },
      { of: 'Retina team', name: 'Teal Marsh' },
    ])
    expect(untold(names, reached)).toEqual(['Of Retina team, not known here yet and so not told: Teal Marsh'])
  })

  it('with nobody on this chat is refused', async () =>
    expect((await meant('Away clinic')).problems).toEqual([expect.stringContaining('Nobody of Away clinic is on this chat')]))

  it('marked by the chat is its people where the chat gives them, else the group as a whole, which is said', async () => {
    const marked: Mentioned = { said: 'registrars', kind: 'group', id: 'slack:T1:S1', members: [ODILE, ROWAN] }
    expect((await meant('registrars', [], [marked])).reached.map(({ of, id }) => [of, id])).toEqual([
      ['registrars', ODILE.id],
      ['registrars', ROWAN.id],
    ])
    const { members: _unknown, ...whole } = marked
    const { names, reached } = await meant('registrars', [], [whole])
    expect(reached).toEqual([{ of: 'registrars', name: 'registrars', id: 'slack:T1:S1', whole: true }])
    expect(untold(names, reached)).toEqual([expect.stringContaining('told as a whole')])
  })
})
