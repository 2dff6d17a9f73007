import { expect, it } from 'vitest'
import { readGround } from '../../adapters/ground.js'

it('names the setting whose folder or file is not there, instead of falling over it', async () => {
  const rules = await readGround({ SOUNDINGS_RULES: '/nowhere/rules' }, 'allowed')
  expect(rules).toMatchObject({ faults: [expect.stringMatching(/^SOUNDINGS_RULES: \/nowhere\/rules /)] })
  const list = await readGround({ SOUNDINGS_LENS_LIST: '/nowhere/list.json' }, 'allowed')
  expect(list).toMatchObject({ faults: [expect.stringContaining('/nowhere/list.json')] })
})
