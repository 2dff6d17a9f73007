import { type SettingCommand, settingIn } from './person-settings.js'

/** What an addressed text may ask for besides putting a case. */
export type Command =
  | { readonly command: 'find'; readonly words: string }
  | { readonly command: 'me'; readonly described: string }
  | { readonly command: 'post-again'; readonly ref: string }
  /** `asking`: how it is to be put, where that was typed along. */
  | { readonly command: 'post'; readonly asking: string }
  | { readonly command: 'cancel' }
  | { readonly command: 'home' }
  | { readonly command: 'set'; readonly setting: SettingCommand }
  /** One item of the previewed case, said anew. */
  | { readonly command: 'change'; readonly item: string }
  /** `text`: the whole case again, where it was typed along. */
  | { readonly command: 'correct'; readonly text: string }

const REF = /[a-z]{2,12}-\d{1,6}/iu

/** The command a text is, or undefined: then it is a case, an answer or talk. */
export function commandIn(text: string): Command | undefined {
  const said = text.trim()
  const find = /^find(?:\s*:|\s+|$)(?<words>.*)$/isu.exec(said)
  if (find) return { command: 'find', words: find.groups?.['words']?.trim() ?? '' }
  const me = /^me(?:\s*:(?<described>[^\n]*)|\s*\??)$/iu.exec(said)
  if (me) return { command: 'me', described: me.groups?.['described']?.trim() ?? '' }
  const again = new RegExp(`^post again\\s+(?<ref>${REF.source})[.!]?$`, 'iu').exec(said)
  if (again) return { command: 'post-again', ref: upper(again.groups?.['ref']) }
  const post =
    /^post(?:\s+(?:it|this|now|please))*(?:\s*[:,;\u2013-](?=\s|@)|\s*:|\s+(?=@|(?:to\s+)?[@#]|in\s+#|asks?\b|today\b|urgent\b|this[ -]week\b|routine\b|hide\b|deputy\b|surgery\s+(?:on\b|today|tomorrow|\d|\p{L}+day\b))|[.!]*$)(?<asking>.*)$/isu.exec(
      said,
    )
  if (post) return { command: 'post', asking: post.groups?.['asking']?.trim() ?? '' }
  if (/^home[.!]?$/iu.test(said)) return { command: 'home' }
  const setting = settingIn(said)
  if (setting) return { command: 'set', setting }
  if (/^(?:cancel|drop)(?:\s+(?:it|this))?[.!]?$/iu.test(said)) return { command: 'cancel' }
  const change = /^change\s*:\s*(?<item>\S.*)$/isu.exec(said)?.groups?.['item']
  if (change !== undefined) return { command: 'change', item: change.trim() }
  const correct = /^correct(?:\s*[:.,!](?=\s|$)|\s*\n|\s+|$)(?<text>.*)$/isu.exec(said)
  if (correct) return { command: 'correct', text: correct.groups?.['text']?.trim() ?? '' }
  return undefined
}

/** A reference at the beginning of a text, and what follows it. */
export function refAt(text: string): { readonly ref: string; readonly rest: string } | undefined {
  const match = new RegExp(`^(?<ref>${REF.source})(?:\\s*[:,;\\u2013\\u2014-](?=\\s|$)|(?=\\s|$))`, 'iu').exec(text.trim())
  if (!match) return undefined
  return { ref: upper(match.groups?.['ref']), rest: text.trim().slice(match[0].length).trim() }
}

const upper = (ref: string | undefined): string => (ref ?? '').toUpperCase()
