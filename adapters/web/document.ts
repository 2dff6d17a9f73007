import { createHash } from 'node:crypto'
import { FORM_STYLE } from '../../src/views/form-page.js'
import { escapeHtml } from '../../src/views/page.js'
import { PAGE_STYLE } from '../../src/views/page-style.js'
import { CHROME_STYLE } from './chrome-style.js'

const STYLE = `${PAGE_STYLE}${CHROME_STYLE}${FORM_STYLE}`

/** Loads nothing and runs nothing: one style of its own, forms to itself, pictures drawn in place. */
const policyOf = (style: string): string =>
  [
    "default-src 'none'",
    `style-src 'sha256-${createHash('sha256').update(style).digest('base64')}'`,
    "img-src 'self' data:",
    "form-action 'self'",
    "base-uri 'none'",
    "frame-ancestors 'none'",
  ].join('; ')

export const CONTENT_SECURITY_POLICY = policyOf(STYLE)

/** For a page that brings a style of its own. */
export const policyFor = (page: string): string => policyOf(/<style>([^<]*)<\/style>/.exec(page)?.[1] ?? '')

/** A whole document around a part. `title` is plain text; `main` is HTML that was escaped where it was made. */
export function documentOf(page: { readonly title: string; readonly main: string; readonly query?: string }): string {
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="robots" content="noindex">
<title>${escapeHtml(page.title)} · Soundings</title>
<style>${STYLE}</style>
</head>
<body>
<a class="skip" href="#main">To the content</a>
<header class="top">
<a class="home" href="/">Soundings</a>
<form class="search" role="search" method="get" action="/find">
<label class="unseen" for="q">Find in the trail</label>
<input id="q" name="q" type="search" placeholder="Find: staphyloma, MARSH-7" maxlength="200" value="${escapeHtml(page.query ?? '')}">
<button type="submit">Find</button>
</form>
</header>
<main id="main" tabindex="-1">
${page.main}
</main>
<footer class="end"><p>Supports the surgeon's own judgement. Local protocols and licensed practice come first. The chat is not the medical record.</p></footer>
</body>
</html>
`
}
