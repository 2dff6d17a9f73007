import type { Form, FormField } from '../cards/form.js'
import { INPUT_WORDS } from '../cards/words-inputs-en.js'
import { filledIn, severalIn } from './form-values.js'
import { escapeHtml } from './page.js'

export interface FormPageOptions {
  readonly action: string
  /** Hidden fields, ready-made HTML (such as a token against forged requests). */
  readonly extras?: string
  /** What is wrong with single answers, by field. */
  readonly faults?: Readonly<Record<string, string>>
}

const nameOf = (field: FormField): string => escapeHtml(`f:${field.id}`)
const idOf = (index: number): string => `field-${index}`

/** What the reader of a field is told of it: the hint, and what is wrong with the answer. */
function notes(field: FormField, id: string, fault: string | undefined): { readonly html: string; readonly attributes: string } {
  const said = [
    ...(field.hint === undefined ? [] : [[`${id}-hint`, 'hint', field.hint]]),
    ...(fault === undefined ? [] : [[`${id}-fault`, 'fault', fault]]),
  ]
  const html = said.map(([note, look, text]) => `<p class="${look}" id="${note}">${escapeHtml(text ?? '')}</p>`).join('')
  const described = said.length === 0 ? '' : ` aria-describedby="${said.map(([note]) => note).join(' ')}"`
  return { html, attributes: `${described}${fault === undefined ? '' : ' aria-invalid="true"'}` }
}

/** Characters of a line on a phone held upright. */
const PHONE_LINE = 40
/** More answers than these stand in two columns, so that what follows is not a long way down. */
const ONE_COLUMN = 6

const labelText = (field: FormField): string =>
  `${escapeHtml(field.label)}${field.required ? ` <span class="needed">(${INPUT_WORDS.needed})</span>` : ''}`

function optionsHtml(field: FormField, id: string, attributes: string, html: string): string {
  const chosen = field.kind === 'choices' ? severalIn(field.value) : field.value === undefined ? [] : [field.value]
  const type = field.kind === 'choices' ? 'checkbox' : 'radio'
  const required = field.required && type === 'radio' ? ' required' : ''
  const options = (field.options ?? []).map(
    ({ value, label }, index) =>
      `<label class="option" for="${id}-${index}"><input type="${type}" id="${id}-${index}" name="${nameOf(field)}" value="${escapeHtml(value)}"${chosen.includes(value) ? ' checked' : ''}${required}> ${escapeHtml(label)}</label>`,
  )
  const look = options.length > ONE_COLUMN ? ' class="many"' : ''
  return `<fieldset${attributes}><legend>${labelText(field)}</legend>${html}<div${look}>${options.join('\n')}</div></fieldset>`
}

function fieldHtml(field: FormField, index: number, fault: string | undefined): string {
  const id = idOf(index)
  const { html, attributes } = notes(field, id, fault)
  const required = field.required ? ' required' : ''
  const label = `<label for="${id}">${labelText(field)}</label>`
  const value = escapeHtml(field.value ?? '')
  switch (field.kind) {
    case 'text': {
      const lines = (field.value ?? '').split('\n').reduce((sum, line) => sum + Math.ceil((line.length + 1) / PHONE_LINE), 0)
      const rows = Math.min(14, Math.max(3, lines + 1))
      // A textarea swallows one line break at its beginning.
      return `${label}${html}<textarea id="${id}" name="${nameOf(field)}" rows="${rows}"${required}${attributes}>\n${value}</textarea>`
    }
    case 'line':
    case 'people':
      return `${label}${html}<input type="text" id="${id}" name="${nameOf(field)}" value="${value}" autocomplete="off"${required}${attributes}>`
    case 'date':
      return `${label}${html}<input type="date" id="${id}" name="${nameOf(field)}" value="${value}"${required}${attributes}>`
    case 'choices':
      return optionsHtml(field, id, attributes, html)
    case 'choice': {
      if (field.required) return optionsHtml(field, id, attributes, html)
      const options = (field.options ?? []).map(
        (option) =>
          `<option value="${escapeHtml(option.value)}"${option.value === field.value ? ' selected' : ''}>${escapeHtml(option.label)}</option>`,
      )
      return `${label}${html}<select id="${id}" name="${nameOf(field)}"${attributes}><option value="">${INPUT_WORDS.notChosen}</option>${options.join('')}</select>`
    }
    case 'channel':
      // A page is one place.
      return ''
  }
}

/** The form as an HTML fragment that works without scripts; its style is `PAGE_STYLE` and `FORM_STYLE`. */
export function formHtml(form: Form, { action, extras = '', faults = {} }: FormPageOptions): string {
  const fields = form.fields
    .map((field, index) => fieldHtml(field, index, faults[field.id]))
    .filter((field) => field !== '')
    .map((field) => `<div class="field">${field}</div>`)
  const intro = form.intro === undefined ? '' : `<p class="intro">${escapeHtml(form.intro)}</p>`
  return `<form class="asked" method="post" action="${escapeHtml(action)}">
${extras}${intro}${fields.join('\n')}
<button class="primary" type="submit">${escapeHtml(form.submit)}</button>
</form>`
}

/** The answers of a posted form, by field id; several of one field joined by commas. */
export function postedAnswers(body: Readonly<Record<string, unknown>>): Readonly<Record<string, string>> {
  const answers = Object.entries(body).flatMap(([name, answer]): readonly (readonly [string, string])[] => {
    if (!name.startsWith('f:')) return []
    const several = Array.isArray(answer) ? answer.filter((one): one is string => typeof one === 'string').join(',') : answer
    return typeof several === 'string' ? [[name.slice(2), several]] : []
  })
  return filledIn(answers)
}

export const FORM_STYLE = `
form.asked .field { margin: 0 0 0.9rem; }
form.asked .intro { white-space: pre-line; overflow-wrap: anywhere; }
form.asked fieldset { border: 0; margin: 0; padding: 0; }
form.asked legend, form.asked label { padding: 0; color: var(--ink); font-size: 1rem; }
form.asked label.option { display: flex; gap: 0.6rem; align-items: center; min-height: 2.75rem; }
form.asked .many { display: grid; grid-template-columns: 1fr 1fr; column-gap: 0.75rem; }
form.asked input[type="radio"], form.asked input[type="checkbox"] { width: 1.25rem; height: 1.25rem; flex: none; accent-color: var(--deep); }
form.asked select, form.asked input[type="date"] { width: 100%; min-height: 2.75rem; font: inherit; color: var(--ink); background: var(--paper); border: 1px solid var(--soft); border-radius: 4px; padding: 0.5rem; }
form.asked .needed { color: var(--soft); font-size: 0.875rem; }
form.asked .fault { color: var(--critical); font-weight: 600; margin: 0.2rem 0; }
`
