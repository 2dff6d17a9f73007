import { escapeHtml } from '../../src/views/page.js'
import type { Said } from './page-needs.js'
import { hiddenFields } from './parts.js'
import type { Visitor } from './visitor.js'
import { THREAD_WORDS as W } from './words-en.js'

/** What was said beside the opinions; one's own can be changed and taken back. */
export function threadPart(visitor: Visitor, once: string, ref: string, said: readonly Said[]): string {
  if (said.length === 0) return ''
  const items = said.map((one, index) => `<li>${saidHtml(one)}${ownPart(visitor, `${once}${index}`, ref, one, index)}</li>`)
  return `<section aria-labelledby="thread-title">
<h2 id="thread-title">${escapeHtml(W.title)}</h2>
<ul class="thread">${items.join('\n')}</ul>
</section>`
}

function saidHtml({ by, at, text, changed }: Said): string {
  const mark = changed ? ` <span class="hint">(${escapeHtml(W.changed)})</span>` : ''
  return `<b>${escapeHtml(by)}</b> <time datetime="${escapeHtml(at)}">${at.slice(0, 10)}</time>: <span class="said">${escapeHtml(text)}</span>${mark}`
}

function ownPart(visitor: Visitor, once: string, ref: string, { own, text }: Said, index: number): string {
  if (own === undefined) return ''
  const id = `comment-${index}`
  return `<details class="own">
<summary>${escapeHtml(W.own)}<span class="unseen">: ${escapeHtml(text.slice(0, 40))}</span></summary>
<form method="post" action="/consult/${encodeURIComponent(ref)}/comment">
${hiddenFields(visitor, once)}<input type="hidden" name="message" value="${escapeHtml(own)}">
<label for="${id}">${escapeHtml(W.text)}</label>
<textarea id="${id}" name="text" rows="3" required>${escapeHtml(text)}</textarea>
<div class="choices"><button type="submit" name="act" value="change" class="primary">${escapeHtml(W.change)}</button>
<button type="submit" name="act" value="take-back" class="danger" formnovalidate>${escapeHtml(W.takeBack)}</button></div>
<p class="hint">${escapeHtml(W.kept)}</p>
</form>
</details>`
}
