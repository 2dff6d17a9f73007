import { describe, expect, it } from 'vitest'
import type { KeptStore } from '../../adapters/store/store.js'
import { ASKER, at, CORNEA } from '../consult/invented-people.js'

export function recordContract(store: () => KeptStore): void {
  describe('the access log', () => {
    const { id, name } = ASKER
    const viewed = { by: { id, name }, what: 'viewed', ref: 'MARSH-7', at: at(1) } as const
    const searched = {
      by: { id: CORNEA.id, name: CORNEA.name },
      what: 'searched',
      words: 'staphyloma \u0000',
      at: at(2),
    } as const

    it('says who looked at what, newest first', async () => {
      await store().accessLog.note(viewed)
      await store().accessLog.note(searched)
      await store().accessLog.note({ ...viewed, ref: 'QUAY-2' })
      expect(await store().accessLog.newest(2)).toEqual([{ ...viewed, ref: 'QUAY-2' }, searched])
      expect(await store().accessLog.newest(9, 'MARSH-7')).toEqual([viewed])
    })

    it('takes notes that come at the same moment', async () => {
      await Promise.all(Array.from({ length: 8 }, (_, minute) => store().accessLog.note({ ...viewed, at: at(minute) })))
      expect(await store().accessLog.newest(20)).toHaveLength(8)
    })
  })
}
