import { describe, expect, it } from 'vitest'
import { messageActivity } from '../../../adapters/teams/payloads.js'
import { said } from '../../../adapters/teams/plain-text.js'
import { channelMessage, personalMessage } from '../../fakes/teams-activities.js'

const ofHtml = (content: string) => said(messageActivity.parse(personalMessage('the lines run together', { content })))
const ofField = (text: string) => said(messageActivity.parse(channelMessage(text))).text
const SPAN = 'itemscope="" itemtype="http://schema.skype.com/Mention"'

describe('a message as HTML', () => {
  it.each([
    ['paragraphs', '<p>LE 58M</p><p>AL 29.60</p>'],
    ['breaks', 'LE 58M<br>AL 29.60'],
    ['closed breaks', '<p>LE 58M<br/>AL 29.60</p>'],
    ['boxes in boxes, with line ends of their own', '<div>\r\n<div>LE 58M</div>\r\n<div>AL&nbsp;29.60</div>\r\n</div>'],
    ['a list', '<ul><li>LE 58M</li><li>AL 29.60</li></ul>'],
    ['a table', '<table><tr><td>LE</td><td>58M</td></tr><tr><td>AL</td><td>29.60</td></tr></table>'],
    [
      'a table whose cells are paragraphs',
      '<table><tr><td><p>LE</p></td><td><p>58M</p></td></tr><tr><td><p>AL</p></td><td>29.60</td></tr></table>',
    ],
    ['preformatted text', '<pre>LE 58M\nAL 29.60</pre>'],
  ])('keeps the lines of %s', (_, html) => {
    expect(ofHtml(html).text).toBe('LE 58M\nAL 29.60')
  })

  it('keeps an empty line, so that lines are counted as they are seen', () => {
    expect(ofHtml('<p>LE 58M</p><p>&nbsp;</p><p>AL 29.60</p>').text).toBe('LE 58M\n\nAL 29.60')
    expect(ofHtml('<div>LE 58M</div><div><br></div><div>AL 29.60</div>').text).toBe('LE 58M\n\nAL 29.60')
  })

  it.each([
    ['target &#43;0.50, fellow &#x2d;1.50', 'target +0.50, fellow -1.50'],
    ['IOP &lt;21 and &gt;10', 'IOP <21 and >10'],
    ['K1 42.10&deg; &plusmn;0.02 &minus;1.75', 'K1 42.10° ±0.02 −1.75'],
    ['R&amp;D, &amp;lt; once', 'R&D, &lt; once'],
    ['&unknown; &#0; &#1114112; &#xd800;', '&unknown; &#0; &#1114112; &#xd800;'],
    ['<b>AL</b> <i>29</i>.<u>60</u>', 'AL 29.60'],
  ])('%s reads %s', (html, text) => {
    expect(ofHtml(`<p>${html}</p>`).text).toBe(text)
  })

  it('leaves the bot’s own name out and keeps those of colleagues', () => {
    const content = `<div><span ${SPAN} itemid="0">Soundings</span>&nbsp;ask <span ${SPAN} itemid="1">Odile Finch</span> too</div>`
    expect(said(messageActivity.parse(channelMessage('x', { content }))).text).toBe('ask @Odile Finch too')
    const wrapped = `<readonly ${SPAN}><span ${SPAN} itemid="0">Soundings</span></readonly> LE 58M`
    expect(said(messageActivity.parse(channelMessage('x', { content: wrapped }))).text).toBe('LE 58M')
    const at = '<p><at id="0">Soundings</at> LE 58M</p>'
    expect(said(messageActivity.parse(channelMessage('x', { content: at }))).text).toBe('LE 58M')
  })

  it('leaves out the message it quotes, and says which that is', () => {
    const quote =
      '<blockquote itemscope itemtype="http://schema.skype.com/Reply" itemid="1790000050000"><strong>Soundings</strong><p itemprop="preview">+9.0 D</p><blockquote>deeper</blockquote></blockquote>'
    expect(ofHtml(`${quote}<p>agree</p>`)).toEqual({ text: 'agree', quotes: '1790000050000', hasPicture: false })
  })

  it('writes out where a link goes, so that nothing passes under a harmless label', () => {
    expect(ofHtml('<a href="https://records.example/jane-doe">here</a>').text).toBe('here (https://records.example/jane-doe)')
    expect(ofHtml('<a href="mailto:jane@example.org">jane@example.org</a>').text).toBe('jane@example.org')
    expect(ofHtml('<a href="https://example.org/">example.org</a>').text).toBe('example.org')
  })

  it('sees a pasted picture, and does not take an emoji for one', () => {
    expect(ofHtml('<p>LE</p><img src="https://graph.example/1" alt="image">').hasPicture).toBe(true)
    expect(ofHtml('<p>ok <img itemtype="http://schema.skype.com/Emoji" alt="👍" src="x"></p>')).toEqual({
      text: 'ok 👍',
      hasPicture: false,
    })
  })
})

describe('a message without HTML', () => {
  it('keeps its lines and what only looks like a tag', () => {
    expect(ofField('LE 58M\nIOP <21 and >10\r\nAL <30')).toBe('LE 58M\nIOP <21 and >10\nAL <30')
    expect(ofField('<vitreous> &lt;clear&gt;&nbsp;&#43;0.5')).toBe('<vitreous> <clear> +0.5')
  })

  it('keeps the names of colleagues', () => {
    expect(ofField('<at>Odile Finch</at> what do you think')).toBe('@Odile Finch what do you think')
  })
})

describe('an attached file', () => {
  it.each(['image/png', 'image/*', 'application/vnd.microsoft.teams.file.download.info', 'reference'])(
    'of kind %s is noticed, and not where it lies',
    (contentType) => {
      const more = { attachments: [{ contentType, contentUrl: 'https://files.example/secret', content: {} }] }
      const read = said(messageActivity.parse(personalMessage('LE 58M', { more })))
      expect(read).toEqual({ text: 'LE 58M', hasPicture: true })
    },
  )
})

it('is read in linear time, whatever is written', () => {
  const hostile = ['<', '</', '<a ', '<a href="', '&', '&#', '<blockquote ', '<at>', '<p>', '<img '].map((piece) =>
    piece.repeat(40_000),
  )
  for (const content of hostile) {
    ofHtml(content)
    ofField(content)
  }
}, 5_000)
