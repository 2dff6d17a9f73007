/** What stands between angle brackets in Slack's encoding of a message. Stops at the next bracket, so it runs in linear time. */
const BRACKETED = /<([^<>\n]*)>/g

/** `*bold*` as the composer writes it, around words on one line. */
const BOLD = /(^|[\s(])\*([^*\n]+)\*(?=$|[\s),.;:])/gm

/**
 * Slack's encoding of a message, back to the words its author sees: links and mentions by their labels, entities decoded,
 * code fences and bold marks gone. Mentions of the bot itself are left out. What is not Slack's encoding stays as it is,
 * so that `IOP <21 and >10` survives.
 */
export function plainText(encoded: string, botUserId: string): string {
  return encoded
    .replace(BRACKETED, (whole, inner: string) => words(inner, botUserId) ?? whole)
    .replaceAll('```', '\n')
    .replaceAll('`', '')
    .replace(BOLD, '$1$2')
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&amp;', '&')
    .trim()
}

/** Whether a message names the bot. */
export function mentions(encoded: string, botUserId: string): boolean {
  return encoded.includes(`<@${botUserId}>`) || encoded.includes(`<@${botUserId}|`)
}

/** People, groups and channels that a message marks: Slack's id, and how it stands in the plain text after "@" or "#". */
export interface Mark {
  readonly kind: 'person' | 'group' | 'channel'
  readonly id: string
  readonly said: string
}

/** What a message marks, each once; the bot itself left out. */
export function marksIn(encoded: string, botUserId: string): readonly Mark[] {
  if (!encoded.includes('<')) return []
  const marks = [...encoded.matchAll(BRACKETED)].flatMap(([, inner = '']) => {
    const { target, label } = parts(inner)
    const found = MARKED.find(([form]) => form.test(target))
    if (found === undefined || target === `@${botUserId}`) return []
    const [form, kind] = found
    const id = target.replace(form, '$1')
    return [{ kind, id, said: label.replace(/^[@#]/, '') || id }]
  })
  return [...new Map(marks.map((mark) => [`${mark.kind} ${mark.id}`, mark])).values()]
}

const MARKED: readonly (readonly [RegExp, Mark['kind']])[] = [
  [/^@([UW][A-Z0-9]+)$/, 'person'],
  [/^!subteam\^(S[A-Z0-9]+)$/, 'group'],
  [/^#([CG][A-Z0-9]+)$/, 'channel'],
]

function parts(inner: string): { readonly target: string; readonly label: string } {
  const bar = inner.indexOf('|')
  return bar === -1 ? { target: inner, label: '' } : { target: inner.slice(0, bar), label: inner.slice(bar + 1) }
}

function words(inner: string, botUserId: string): string | undefined {
  const { target, label } = parts(inner)
  if (/^@[UW][A-Z0-9]+$/.test(target)) return target === `@${botUserId}` ? '' : `@${label || target.slice(1)}`
  if (/^#[CG][A-Z0-9]+$/.test(target)) return `#${label || target.slice(1)}`
  if (target.startsWith('!subteam^')) return `@${label.replace(/^@/, '') || target.slice('!subteam^'.length)}`
  if (target.startsWith('!')) return label || `@${target.slice(1).split('^', 1)[0]}`
  if (/^(mailto|tel):/.test(target)) return both(target.slice(target.indexOf(':') + 1), label)
  if (/^https?:\/\//.test(target)) return both(target, label)
  return undefined
}

/** A link whose label hides where it goes is written out with both: an identifier must not pass under a harmless label. */
function both(target: string, label: string): string {
  if (label === '' || label === target) return target
  return target.endsWith(label) ? target : `${label} (${target})`
}
