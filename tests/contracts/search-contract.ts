import { describe, expect, it } from 'vitest'
import { queryOf } from '../../src/trail/find.js'
import type { Scope } from '../../src/trail/trail-store.js'
import { ASKER, at, CORNEA, PLACE, RETINA } from '../consult/invented-people.js'
import { agreed, comment, type StoreBench } from './store-bench.js'

export function searchContract(bench: StoreBench): void {
  const find = async (words: string, scope: Scope = 'everything') => {
    const query = queryOf(words)
    return query ? (await bench.store().trail.find(query, scope, 10)).map(({ ref }) => ref) : []
  }

  describe('the search', () => {
    it('finds a consult by its facts, its question, its reference and what was said on it', async () => {
      await bench.ask('MARSH-7', 'Chop or manual?')
      await bench.bringAbout({ events: [agreed('MARSH-7', CORNEA, 'consider trypan blue')], expected: 1 })
      for (const words of [
        'long eye staphyloma sub-Tenon',
        '29.6',
        'manual',
        'MARSH-7',
        'marsh',
        'trypan',
        'Alder cornea',
        'STAPHY',
      ]) {
        expect(await find(words), words).toEqual(['MARSH-7'])
      }
      expect(await find('staphyloma trabeculectomy')).toEqual([])
    })

    it('finds words with and without accents', async () => {
      await bench.ask('MARSH-7', 'Übersicht prüfen?')
      expect(await find('ubersicht')).toEqual(['MARSH-7'])
      expect(await find('prüfen')).toEqual(['MARSH-7'])
    })

    it.each(["O'Brien", '(', '"', 'AND', 'NOT chop', 'case-12', '*', 'a:b', 'NEAR(', "x'; drop table events; --", '\u0000'])(
      'takes %j as words',
      async (words) => {
        await bench.ask('MARSH-7')
        await expect(find(words)).resolves.toEqual(expect.any(Array))
      },
    )

    it('finds a reference only where its two words stand side by side, and not across what was asked and what was said', async () => {
      await bench.ask('MARSH-7', 'Is it marsh?')
      await bench.bringAbout({ events: [comment('MARSH-7', '77 eyes, then marsh again')], expected: 1 })
      expect(await find('then-marsh')).toEqual(['MARSH-7'])
      expect(await find('marsh-eyes')).toEqual([])
      expect(await find('eyes marsh')).toEqual(['MARSH-7'])
    })

    it('finds longer words by the beginning of the last one only', async () => {
      await bench.ask('MARSH-7')
      expect(await find('sub staphy')).toEqual(['MARSH-7'])
      expect(await find('staphy sub')).toEqual([])
    })

    it('takes words of any length and any number', async () => {
      const long = 'x'.repeat(5000)
      await bench.ask('MARSH-7', 'Chop?')
      await bench.bringAbout({ events: [comment('MARSH-7', `${'again '.repeat(20_000)}last ${long}`)], expected: 1 })
      expect(await find(long)).toEqual(['MARSH-7'])
      expect(await find('chop again last')).toEqual(['MARSH-7'])
    })

    it('does not take a reference for a longer one', async () => {
      await bench.ask('MARSH-7')
      await bench.ask('MARSH-70')
      expect(await find('MARSH-7')).toEqual(['MARSH-7'])
    })

    it('stays within one workspace when asked to', async () => {
      await bench.ask('MARSH-7')
      await bench.ask('QUAY-2', 'Chop?', { place: { ...PLACE, workspace: 'T2' } })
      expect(await find('staphyloma', { platform: 'slack', workspace: 'T2' })).toEqual(['QUAY-2'])
      expect((await find('staphyloma')).toSorted()).toEqual(['MARSH-7', 'QUAY-2'])
    })

    it('says who asked, when, where, and how many have answered', async () => {
      const asked = await bench.ask('MARSH-7')
      await bench.bringAbout({
        events: [agreed('MARSH-7'), agreed('MARSH-7', RETINA), agreed('MARSH-7', CORNEA, 'yes')],
        expected: 1,
      })
      const query = queryOf('staphyloma')
      expect(query && (await bench.store().trail.find(query, 'everything', 10))).toEqual([
        {
          ref: 'MARSH-7',
          askedAt: asked.at,
          askedBy: ASKER,
          place: PLACE,
          planHash: asked.type === 'consult-asked' && asked.planHash,
          opinions: 2,
        },
      ])
    })

    it('goes on behind the best that were given before, each once and in the same order', async () => {
      for (const ref of ['MARSH-7', 'QUAY-2', 'HEATH-4', 'REEF-9', 'DUNE-3']) await bench.ask(ref, `Chop ${ref}?`)
      const query = queryOf('chop')
      if (!query) throw new Error('there are words')
      const { trail } = bench.store()
      const all = (await trail.find(query, 'everything', 10)).map(({ ref }) => ref)
      expect(all).toHaveLength(5)
      const pieces = []
      for (const skip of [0, 2, 4, 6]) pieces.push(...(await trail.find(query, 'everything', 2, skip)).map(({ ref }) => ref))
      expect(pieces).toEqual(all)
    })

    it('lists the newest first', async () => {
      await bench.ask('MARSH-7', 'Chop?', { at: at(1) })
      await bench.ask('QUAY-2', 'Chop?', { at: at(3) })
      await bench.ask('HEATH-4', 'Chop?', { at: at(2) })
      expect((await bench.store().trail.newest('everything', 2)).map(({ ref }) => ref)).toEqual(['QUAY-2', 'HEATH-4'])
    })
  })
}
