import { describe, expect, it } from 'vitest'
import { mentions, plainText } from '../../../adapters/slack/plain-text.js'

const words = (encoded: string) => plainText(encoded, 'UBOT0001')

describe('Slack’s encoding of a message', () => {
  it.each([
    ['<@UBOT0001> LE 58M, AL 29.60', 'LE 58M, AL 29.60'],
    ['<@UBOT0001|soundings> find MARSH', 'find MARSH'],
    ['ask <@U0002|odile> and <@U0003>', 'ask @odile and @U0003'],
    ['in <#C0002|theatre-list>', 'in #theatre-list'],
    ['<!here> and <!subteam^S1|@registrars>', '@here and @registrars'],
    ['<!subteam^S1> and <!subteam^S2|registrars>', '@S1 and @registrars'],
    ['<!date^1790000000^{date}|Tuesday>', 'Tuesday'],
    ['see <https://example.org/x>', 'see https://example.org/x'],
    ['see <https://example.org/x|example.org/x>', 'see https://example.org/x'],
    ['K1 42.10 &lt; K2 43.20 &amp; AL &gt; 26', 'K1 42.10 < K2 43.20 & AL > 26'],
    ['```AL 29.60\nK1 42.10```', 'AL 29.60\nK1 42.10'],
    ['*LE* 58M, `AL 29.60`', 'LE 58M, AL 29.60'],
  ])('%j reads %j', (encoded, expected) => {
    expect(words(encoded)).toBe(expected)
  })

  it('leaves alone what only looks like it, as a slash command may carry it', () => {
    expect(words('IOP <21 and >10, K1*K2')).toBe('IOP <21 and >10, K1*K2')
  })

  it('does not take a typed mention for one: its brackets arrive encoded', () => {
    expect(words('&lt;!channel&gt; &lt;@U0002&gt;')).toBe('<!channel> <@U0002>')
    expect(words('&amp;lt;')).toBe('&lt;')
  })

  it('writes out a link that hides under a harmless label, so that an identifier cannot', () => {
    expect(words('<mailto:someone@example.org|the clinic>')).toBe('the clinic (someone@example.org)')
    expect(words('<tel:+440000000000|+44 0000 000000>')).toBe('+44 0000 000000 (+440000000000)')
  })

  it('keeps a case over many lines, with its Unicode minus', () => {
    expect(words('LE\nAL 29.60\ntarget −1.75')).toBe('LE\nAL 29.60\ntarget −1.75')
  })

  it('reads a megabyte of brackets in linear time', () => {
    const hostile = '<@'.repeat(500_000)
    expect(words(hostile)).toBe(hostile)
  })

  it('knows whether the bot is named', () => {
    expect(mentions('hello <@UBOT0001>', 'UBOT0001')).toBe(true)
    expect(mentions('hello <@UBOT00012>', 'UBOT0001')).toBe(false)
    expect(mentions('hello &lt;@UBOT0001&gt;', 'UBOT0001')).toBe(false)
  })
})
