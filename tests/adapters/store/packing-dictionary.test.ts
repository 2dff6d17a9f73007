import { createHash } from 'node:crypto'
import { expect, it } from 'vitest'
import * as dictionaries from '../../../adapters/store/packing-dictionary.js'

const PACKED_WITH: Readonly<Record<string, string>> = {
  LIFE_OF_A_CONSULT: 'c996e5d52a786b7e3e348cbc25eb2ec16127880e8c1fb5a17897472c460947ff',
  NUMBERS_OF_PLANS: 'c6b51fa25b3dda13de8560c4c11963d5855c6cdd15e742e1d9ec6a9396f321df',
}

// Every packed row of every trail is unpacked with these very characters: a new dictionary gets a new form byte, never an old one's place.
it.each(Object.entries(dictionaries))(
  'the dictionary %s is, to the character, the one that trails were packed with',
  (name, text) => {
    const hash = createHash('sha256').update(String(text)).digest('hex')
    expect(hash).toBe(PACKED_WITH[name])
  },
)

it('there is no dictionary beside these', () => {
  expect(Object.keys(dictionaries).sort()).toEqual(Object.keys(PACKED_WITH).sort())
})
