import { expect, it } from 'vitest'
import { inBrackets, sourceBriefly, sourcesSection } from '../../src/cards/sources.js'
import { A_PLAN } from './a-plan.js'

it.each([
  ['Han JV, Patel DV, Liu K, et al. Clin Exp Ophthalmol 2020;48:311-8', 2020, 'Han 2020'],
  ['Bourne WM, Nelson LR. Invest Ophthalmol Vis Sci 1997;38:779-782', undefined, 'Bourne 1997'],
  ['Dabrowska-Kloda K et al. J Cataract Refract Surg 2015;41:1376-1382', 2015, 'Dabrowska-Kloda 2015'],
  ['NICE guideline NG77, Cataracts in adults: management, 2017', 2017, 'NICE guideline NG77 2017'],
  ['General Medical Council. Confidentiality, 2017', 2017, 'General Medical Council 2017'],
  [
    'Edge R, Navon S. J Cataract Refract Surg 1999;25:1237; Duker JS et al. Ophthalmology 1991;98:519',
    1999,
    'Edge 1999, Duker 1991',
  ],
])('names %s briefly', (cite, year, brief) => {
  expect(sourceBriefly({ cite, year, sureness: 'read' })).toBe(brief)
})

it('says of a recalled source that it is from memory, and of practice that it has no work behind it', () => {
  expect(sourceBriefly({ cite: 'Author A. Journal 1999;1:1', sureness: 'memory' })).toBe('Author 1999 (from memory)')
  expect(sourceBriefly({ cite: 'common practice, no source', sureness: 'convention' })).toBe('common practice')
})

it('names a source once, however often it is cited', () => {
  const source = { cite: 'Author A. Journal 1999;1:1', sureness: 'read' } as const
  expect(inBrackets([source, source])).toBe('[Author 1999]')
})

it('lists each work once and in full, also where it is cited with two endings of its page range', () => {
  const [first] = A_PLAN.risks
  if (first === undefined) throw new Error('the invented plan has no risk')
  const cited = ['Author C, Author D. Eye 2009;23:31-7', 'Author C and others. Eye 2009;23:31-37'].map((cite) => ({
    ...first,
    source: { ...first.source, cite },
  }))
  const [section] = sourcesSection({ ...A_PLAN, precautions: [], tensions: [], surgery: [], risks: cited })
  const [list] = section?.blocks ?? []
  expect(list?.kind === 'list' ? list.items : []).toEqual([
    'Author C and others. Eye 2009;23:31-37 (from memory of the source, awaiting a check in print)',
  ])
})
