const WORD_JOINER = '\u2060'

/** Marks that chat clients read as formatting, and signs that look the same and mean nothing to them. */
const LOOKALIKES: Readonly<Record<string, string>> = { '*': '\u2217', _: '\uff3f', '~': '\u223c', '`': '\u02cb' }

/** Text in which nothing reads as a mention; every visible sign stays as it was typed, so that it can be copied back. */
export const withoutMentions = (text: string): string =>
  text.replace(/<(?=[!@#/a-z])/gi, `<${WORD_JOINER}`).replace(/@(?=channel|here|everyone)/gi, `@${WORD_JOINER}`)

/**
 * Text that no chat client takes for formatting, a link, a list or a mention. Signs are kept by the look;
 * an invisible joiner breaks up `<!`, `<@`, `<#`, `<at`, `](` and list marks at the start of a line.
 */
export const inertText = (text: string): string =>
  withoutMentions(text)
    .replace(/[*_~`]/g, (mark) => LOOKALIKES[mark] ?? mark)
    .replace(/\](?=[([])/g, `]${WORD_JOINER}`)
    .replace(/^(\s*)(?=(?:[-+>#]|\d+[.)])\s)/gm, `$1${WORD_JOINER}`)

/** For Slack's `text`, where `&`, `<` and `>` are read as markup. */
export const slackText = (text: string): string =>
  inertText(text).replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;')
