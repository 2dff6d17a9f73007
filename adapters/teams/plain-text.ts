import { decoded } from './html-entities.js'
import type { MessageActivity } from './payloads.js'

/** A tag, up to the next bracket, so that hostile text is read in linear time. `IOP <21 and >10` holds none. */
const TAG = /<(\/?)([a-zA-Z][a-zA-Z0-9]*)((?:\s[^<>]*)?)\/?>/g

/** Tags that stand on lines of their own. */
const BLOCKS = new Set([
  'p',
  'div',
  'li',
  'ul',
  'ol',
  'tr',
  'table',
  'pre',
  'blockquote',
  'h1',
  'h2',
  'h3',
  'h4',
  'h5',
  'h6',
  'hr',
])

/** In the plain field only these are taken for tags: everything else between brackets was typed. */
const PLAIN_FIELD_TAGS = new Set(['at', 'br', 'p', 'div', 'span', 'b', 'i', 'strong', 'em', 'a'])

export interface Said {
  readonly text: string
  /** The message that it quotes in order to answer it. */
  readonly quotes?: string
  readonly hasPicture: boolean
}

/**
 * What its author sees of a message: lines as typed, mentions and links by their names, entities decoded, the quoted
 * message left out. Teams sends a message twice, as HTML and with its lines run together; the HTML is read where it is there.
 * Mentions of the bot itself are left out.
 */
export function said({
  text,
  attachments,
  entities,
  recipient,
}: Pick<MessageActivity, 'text' | 'attachments' | 'entities' | 'recipient'>): Said {
  const ownNames = new Set(
    entities
      .filter(({ mentioned }) => mentioned.id === recipient.id)
      .flatMap((mention) => [mention.mentioned.name, mention.text?.replace(/<\/?at[^<>]*>/g, '')])
      .flatMap((name) => (name === undefined ? [] : [decoded(name).trim()])),
  )
  const html = attachments.find(({ contentType }) => contentType === 'text/html')?.content
  const read = typeof html === 'string' && html.trim() !== '' ? wordsOfHtml(html, ownNames) : wordsOfField(text, ownNames)
  const files = attachments.some(({ contentType }) => /^image\/|file\.download\.info$|^reference$/.test(contentType))
  return {
    text: read.text,
    hasPicture: files || read.hasPicture,
    ...(read.quotes === undefined ? {} : { quotes: read.quotes }),
  }
}

interface Read {
  readonly text: string
  readonly quotes?: string
  readonly hasPicture: boolean
}

function wordsOfHtml(html: string, ownNames: ReadonlySet<string>): Read {
  const page = pageOfLines()
  let quotes: string | undefined
  let hasPicture = false
  let quoteDepth = 0
  let named: { close: string; name: string } | undefined
  let link: { target: string; label: string } | undefined
  let preformatted = 0
  let cells = 0
  let last = 0

  const words = (raw: string) => {
    if (quoteDepth > 0 || raw === '') return
    const plain = decoded(preformatted > 0 ? raw : raw.replace(/[ \t\r\n]+/g, ' '))
    if (named !== undefined) named.name += plain
    else {
      if (link !== undefined) link.label += plain
      page.write(plain)
    }
  }

  for (const tag of html.matchAll(TAG)) {
    words(html.slice(last, tag.index))
    last = tag.index + tag[0].length
    const closing = tag[1] === '/'
    const name = (tag[2] ?? '').toLowerCase()
    const attributes = tag[3] ?? ''

    if (name === 'blockquote' && (quoteDepth > 0 || /schema\.skype\.com\/Reply/i.test(attributes))) {
      quoteDepth += closing ? -1 : 1
      quotes ??= attribute(attributes, 'itemid')
      continue
    }
    if (quoteDepth > 0) continue
    if (named !== undefined) {
      if (closing && name === named.close) {
        if (!ownNames.has(named.name.trim())) page.write(`@${named.name.trim()}`)
        named = undefined
      }
      continue
    }
    if (name === 'pre') preformatted = Math.max(0, preformatted + (closing ? -1 : 1))
    if (!closing && (name === 'at' || /schema\.skype\.com\/Mention/i.test(attributes))) named = { close: name, name: '' }
    else if (name === 'a' && closing) {
      if (link !== undefined) page.write(hiddenTarget(link))
      link = undefined
    } else if (name === 'a') link = { target: decoded(attribute(attributes, 'href') ?? ''), label: '' }
    else if (name === 'img') {
      if (/Emoji/i.test(attributes)) page.write(decoded(attribute(attributes, 'alt') ?? ''))
      else hasPicture = true
    } else if (name === 'br') page.breakLine()
    else if (name === 'td' || name === 'th') {
      cells = Math.max(0, cells + (closing ? -1 : 1))
      page.space()
    }
    // a row stays on one line, whatever its cells are made of
    else if (BLOCKS.has(name)) cells > 0 ? page.space() : page.startLine()
  }
  words(html.slice(last))
  if (named !== undefined) page.write(`@${named.name.trim()}`)
  return { text: page.text(), hasPicture, ...(quotes === undefined ? {} : { quotes }) }
}

/** The plain field: lines are lines, `<at>` marks mentions, and some clients leave entities in it. */
function wordsOfField(text: string, ownNames: ReadonlySet<string>): Read {
  const withNames = text.replace(/<at(?:\s[^<>]*)?>([^<>]*)<\/at>/gi, (_, name: string) =>
    ownNames.has(decoded(name).trim()) ? '' : `@${name}`,
  )
  const bare = withNames.replace(TAG, (whole, _, name: string) => {
    const tag = name.toLowerCase()
    if (!PLAIN_FIELD_TAGS.has(tag)) return whole
    return tag === 'br' ? '\n' : ''
  })
  return { text: tidied(decoded(bare)), hasPicture: false }
}

function pageOfLines() {
  const lines: string[] = ['']
  const current = () => lines[lines.length - 1] ?? ''
  return {
    write(words: string) {
      const [first = '', ...more] = words.split('\n')
      lines[lines.length - 1] = current() + first
      lines.push(...more)
    },
    space() {
      if (!/(^|\s)$/.test(current().slice(-1))) lines[lines.length - 1] = `${current()} `
    },
    breakLine() {
      lines.push('')
    },
    /** A new line, unless this one is still empty. */
    startLine() {
      if (current().replaceAll(' ', '') !== '') lines.push('')
    },
    text: () => tidied(lines.join('\n')),
  }
}

const tidied = (text: string): string =>
  text
    .replaceAll('\r\n', '\n')
    .split('\n')
    .map((line) => line.replaceAll('\u00a0', ' ').trim())
    .join('\n')
    .trim()

/** A link whose label hides where it goes is written out with both: an identifier must not pass under a harmless label. */
function hiddenTarget({ target, label }: { readonly target: string; readonly label: string }): string {
  const shown = label.trim()
  const goes = target.replace(/^(?:mailto|tel):/i, '').replace(/\/$/, '')
  if (goes === '') return ''
  return shown !== '' && goes.endsWith(shown.replace(/\/$/, '')) ? '' : ` (${goes})`
}

function attribute(attributes: string, name: string): string | undefined {
  const found = new RegExp(`\\s${name}\\s*=\\s*(?:"([^"]*)"|'([^']*)'|([^\\s"'>]+))`, 'i').exec(attributes)
  const value = found?.[1] ?? found?.[2] ?? found?.[3]
  return value === undefined || value === '' ? undefined : value
}
