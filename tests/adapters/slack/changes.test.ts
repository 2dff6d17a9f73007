import { describe, expect, it } from 'vitest'
import { translate } from '../../../adapters/slack/translate.js'
import { BOT } from '../../fakes/slack-api.js'
import { messageEvent } from '../../fakes/slack-requests.js'

const ROOT = '1790000000.000100'
const THEIRS = { user: 'U0002', type: 'message', ts: '1790000300.000100', thread_ts: ROOT }
const event = (more: object) =>
  messageEvent({ text: '', more: { user: undefined, text: undefined, ts: '1790000400.000100', ...more } })
const edited = (now: object, before: object = {}) =>
  event({
    subtype: 'message_changed',
    message: { ...THEIRS, text: 'agree', edited: { user: 'U0002', ts: '1790000400.000000' }, ...now },
    previous_message: { ...THEIRS, text: 'agre', ...before },
  })
const deleted = (before: object = {}) =>
  event({ subtype: 'message_deleted', deleted_ts: THEIRS.ts, previous_message: { ...THEIRS, text: 'agree', ...before } })

const read = (body: unknown) => translate(body, BOT)
const delivered = (body: unknown) => {
  const said = read(body)
  if (said.kind !== 'delivery') throw new Error(`expected a delivery, got ${JSON.stringify(said)}`)
  return said
}

describe('a message of a thread on Slack', () => {
  it('that was edited is told with its own id and as it reads now', () => {
    const said = delivered(edited({ text: 'agree &amp; mark the <https://a.example|axis>' }))
    expect(said.inbound).toMatchObject({
      kind: 'edited',
      message: THEIRS.ts,
      text: 'agree & mark the axis (https://a.example)',
      by: { id: 'slack:T0001:U0002' },
      place: { channel: 'C0001', thread: ROOT },
    })
    expect(said.strangersThread).toBe(true)
  })

  it('that was edited twice is two deliveries, each of which may arrive twice', () => {
    const again = edited({ text: 'agree, twice' })
    const later = { ...again, event: { ...again.event, ts: '1790000500.000100' } }
    expect(delivered(again).key).toBe(delivered(again).key)
    expect(delivered(again).key).not.toBe(delivered(later).key)
  })

  it('that was deleted is told without what it said, also where others have answered it', () => {
    for (const body of [deleted(), edited({ subtype: 'tombstone', text: 'This message was deleted.', user: 'USLACKBOT' })]) {
      const { inbound } = delivered(body)
      expect(inbound).toMatchObject({
        kind: 'deleted',
        message: THEIRS.ts,
        by: { id: 'slack:T0001:U0002' },
        place: { thread: ROOT },
      })
      expect(inbound).not.toHaveProperty('text')
    }
  })

  it.each([
    ['whose text is as it was (Slack has unfolded a link)', edited({ text: 'agre', edited: undefined })],
    ['that stands in no thread', edited({ thread_ts: undefined }, { thread_ts: undefined })],
    ['that is the first of its thread', edited({ ts: ROOT }, { ts: ROOT })],
    ['that a bot wrote', edited({ bot_id: 'BBOT0001' })],
    ['that a bot wrote and somebody deleted', deleted({ bot_id: 'BBOT0001', user: undefined })],
  ])('%s is left alone', (_, body) => {
    expect(read(body)).toMatchObject({ kind: 'nothing' })
  })
})

describe('a file in a thread on Slack', () => {
  const files = [{ id: 'F1', name: 'Smith John B-scan.png', url_private: 'https://files.example/F1' }]
  const shown = (text: string) => messageEvent({ text, more: { subtype: 'file_share', files, thread_ts: ROOT } })

  it('is noted as shown, with neither its name nor where it lies', () => {
    const { inbound } = delivered(shown(''))
    expect(inbound).toMatchObject({ kind: 'picture', message: '1790000100.000100' })
    expect(JSON.stringify(inbound)).not.toMatch(/Smith|files\.example/)
  })

  it('with words is those words, and a picture beside them', () => {
    expect(delivered(shown('B-scan: retina flat')).inbound).toMatchObject({
      kind: 'text',
      text: 'B-scan: retina flat',
      hasPicture: true,
      message: '1790000100.000100',
    })
  })
})
