import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { loadRuleSet, readRulesFolder } from '../../adapters/rules-folder.js'
import { NEEDLE, SHIPPED_FILES } from './invented-rules.js'

describe('a folder of rules', () => {
  let home = ''
  const put = async (file: string, text: string) => {
    await mkdir(dirname(join(home, file)), { recursive: true })
    await writeFile(join(home, file), text)
  }
  beforeEach(async () => {
    home = await mkdtemp(join(tmpdir(), 'rules-'))
    for (const { file, text } of SHIPPED_FILES) await put(file, text)
  })
  afterEach(() => rm(home, { recursive: true, force: true }))

  it('is read with its subfolders, in the order of the paths, pages and hidden files left out', async () => {
    await put('rules/README.md', 'what stands here')
    await put('rules/.hidden', '')
    const files = await readRulesFolder(join(home, 'rules'))
    expect(files).toEqual(SHIPPED_FILES.toSorted((one, other) => (one.file < other.file ? -1 : 1)))
  })

  it('builds a rule set, with a department folder over it', async () => {
    const change = { override: NEEDLE.id, layer: 'Lantern Quay Eye Unit', indicator: 'info' }
    await put('own/needle.json', JSON.stringify(change))
    const outcome = await loadRuleSet(join(home, 'rules'), join(home, 'own'))
    expect(outcome).toMatchObject({ kind: 'rules' })
    if (outcome.kind === 'rules') expect(outcome.ruleSet.precautions[0]).toMatchObject({ indicator: 'info', layer: change.layer })
  })

  it('reports a rule under a name that is no rule file, with its path', async () => {
    await put('rules/retina/lattice.json.txt', '{}')
    expect(await loadRuleSet(join(home, 'rules'))).toMatchObject({
      kind: 'faults',
      faults: [{ file: 'rules/retina/lattice.json.txt', line: 1 }],
    })
  })

  it('throws when it does not exist, since rules that are not read cannot be missed', async () => {
    await expect(loadRuleSet(join(home, 'nowhere'))).rejects.toMatchObject({ code: 'ENOENT' })
    await expect(loadRuleSet(join(home, 'rules'), join(home, 'nowhere'))).rejects.toMatchObject({ code: 'ENOENT' })
  })
})
