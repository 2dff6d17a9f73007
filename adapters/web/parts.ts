import type { Found } from '../../src/trail/trail-store.js'
import { escapeHtml } from '../../src/views/page.js'
import type { Visitor } from './visitor.js'

/** Fields that every form carries: the token against forged forms, and a mark that makes a second press harmless. */
export const hiddenFields = (visitor: Visitor, once: string): string =>
  `<input type="hidden" name="token" value="${visitor.token}"><input type="hidden" name="once" value="${once}">`

export function whoPart(visitor: Visitor, once: string): string {
  const described = [visitor.name || 'Not named yet', visitor.grade, visitor.field].filter((part) => part).join(', ')
  return `<details class="who"${visitor.name ? '' : ' open'}>
<summary>You: ${escapeHtml(described)}</summary>
<form method="post" action="/me">
${hiddenFields(visitor, once)}
<p class="hint">Grade and field stand beside your answers. No accounts here: this browser keeps it.</p>
<label for="name">Your name</label><input id="name" name="name" maxlength="80" required autocomplete="name" value="${escapeHtml(visitor.name)}">
<label for="grade">Grade</label><input id="grade" name="grade" maxlength="60" placeholder="consultant" value="${escapeHtml(visitor.grade ?? '')}">
<label for="field">Field</label><input id="field" name="field" maxlength="60" placeholder="cornea" value="${escapeHtml(visitor.field ?? '')}">
<button type="submit">Keep</button>
</form>
</details>`
}

export const EXAMPLE_MESSAGE =
  'LE 58M, AL 29.60 optical SD 0.02, K1 42.10@95 K2 43.20@5, ACD 3.45, LT 4.90; brown NO 5.2; ECD 2180; no fundal view, B-scan flat; target -1.75; A 118.9; registrar; ? chop or manual'

export function askPart(visitor: Visitor, once: string, text: string, heading: 'h1' | 'h2'): string {
  return `<section aria-labelledby="ask-title">
<${heading} id="ask-title">Put a case to colleagues</${heading}>
<form method="post" action="/ask">
${hiddenFields(visitor, once)}
<label for="text">The case, as on the biometry sheet. No name, date of birth, or number of a patient.</label>
<textarea id="text" name="text" rows="9" required aria-describedby="text-hint" spellcheck="false">${escapeHtml(text)}</textarea>
<p class="hint" id="text-hint">For instance: ${escapeHtml(EXAMPLE_MESSAGE)}</p>
<p class="hint">Nothing is posted yet: you see first how each item was read.</p>
<button class="primary" type="submit">Read it back</button>
</form>
</section>`
}

const day = (at: string): string => at.slice(0, 10)

export function consultList(title: string, found: readonly Found[], whenNone: string): string {
  const rows = found.map(
    ({ ref, askedBy, askedAt, opinions }) =>
      `<li><a href="/consult/${encodeURIComponent(ref)}">${escapeHtml(ref)}</a> · asked by ${escapeHtml(askedBy.name)} on <time datetime="${escapeHtml(askedAt)}">${day(askedAt)}</time> · ${opinions === 1 ? '1 answer' : `${opinions} answers`}</li>`,
  )
  const body = rows.length ? `<ul class="consults">${rows.join('\n')}</ul>` : `<p>${escapeHtml(whenNone)}</p>`
  return `<section aria-labelledby="list-title"><h2 id="list-title">${escapeHtml(title)}</h2>${body}</section>`
}

export function sayPart(visitor: Visitor, once: string, ref: string): string {
  return `<section aria-labelledby="say-title">
<h2 id="say-title">Answer or comment</h2>
<form method="post" action="/consult/${encodeURIComponent(ref)}/say">
${hiddenFields(visitor, once)}
<label for="say">Begin with “agree”, “agree but: …”, “need: …”, “not alone: …” or “stop: …” to give your opinion; anything else is a comment.</label>
<textarea id="say" name="text" rows="3" required></textarea>
<button class="primary" type="submit">Send</button>
</form>
</section>`
}
