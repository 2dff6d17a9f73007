import type { FastifyInstance, FastifyReply } from 'fastify'
import { z } from 'zod'
import type { ChoiceAction } from '../../src/cards/card.js'
import { FORM_IDS, type Form, type FormAbout } from '../../src/cards/form.js'
import { formFaults } from '../../src/desk/form-values.js'
import { identifierFaults } from '../../src/desk/identifier-faults.js'
import { formHtml, postedAnswers } from '../../src/views/form-page.js'
import { escapeHtml } from '../../src/views/page.js'
import { type PageNeeds, WEB_PLACE } from './page-needs.js'
import { hiddenFields } from './parts.js'
import { deliver, forged, fresh, html, notice, senderOf, visitorOf } from './replying.js'
import { personOf, type Visitor } from './visitor.js'

const askedFor = z.object({
  form: z.enum(FORM_IDS),
  ref: z.string().min(1).max(100).optional(),
  draftId: z.string().min(1).max(200).optional(),
  revision: z.coerce.number().int().min(1).optional(),
})
const sentForm = askedFor.extend({ once: z.string().min(1).max(64) })

type OpenForm = Extract<ChoiceAction, { action: 'open-form' }>
type Answers = Readonly<Record<string, string>>

const aboutOf = ({ ref, draftId, revision }: z.infer<typeof askedFor>): FormAbout => ({
  ...(ref === undefined ? {} : { ref }),
  ...(draftId === undefined ? {} : { draftId }),
  ...(revision === undefined ? {} : { revision }),
})

const opening = (asked: z.infer<typeof askedFor>): OpenForm => ({ action: 'open-form', form: asked.form, ...aboutOf(asked) })

/** Where a form is opened. */
export const formAddress = ({ form, ref, draftId, revision }: OpenForm): string => {
  const query = new URLSearchParams({
    form,
    ...(ref === undefined ? {} : { ref }),
    ...(draftId === undefined ? {} : { draftId }),
    ...(revision === undefined ? {} : { revision: String(revision) }),
  })
  return `/form?${query}`
}

/** Forms on pages of their own: opened with what is known, sent like anything that is said. */
export function formRoutes(app: FastifyInstance, needs: PageNeeds): void {
  const show = async (
    reply: FastifyReply,
    visitor: Visitor,
    does: OpenForm,
    answered?: { readonly values: Answers; readonly faults: Answers },
  ) => {
    const form = await needs.formFor(does, personOf(visitor))
    if (!form) return notice(reply, 404, 'No such form', 'There is no consult under this reference, or no such form for it.')
    const faults = answered?.faults ?? {}
    const page = formPart(visitor, answered ? withAnswers(form, answered.values) : form, faults)
    return html(reply, { title: form.title, main: page }, Object.keys(faults).length > 0 ? 422 : 200)
  }

  app.get('/form', async (request, reply) => {
    const visitor = visitorOf(request, reply)
    const asked = askedFor.safeParse(request.query)
    if (!asked.success) return notice(reply, 404, 'No such form', 'Open the form from the start page or from its consult.')
    return show(reply, visitor, opening(asked.data))
  })

  app.post('/form', async (request, reply) => {
    const visitor = senderOf(request)
    if (!visitor) return forged(reply)
    const { once, ...asked } = sentForm.parse(request.body)
    const { form } = asked
    const values = postedAnswers(request.body as Record<string, unknown>)
    const answers = { kind: 'form', form, about: aboutOf(asked), values, by: personOf(visitor), place: WEB_PLACE } as const
    const identifying = identifierFaults({ ...answers, reply: {} }, needs.receive)
    const faults = { ...formFaults(form, values), ...identifying }
    if (Object.keys(faults).length > 0) {
      // What may identify a patient is not shown again, not even to the one who typed it.
      const clean = Object.fromEntries(Object.entries(values).filter(([id]) => !(id in identifying)))
      return show(reply, visitor, opening(asked), { values: clean, faults })
    }
    return deliver(needs, reply, { visitor, once }, (handle) => ({ ...answers, reply: handle }))
  })
}

const withAnswers = (form: Form, values: Answers): Form => ({
  ...form,
  fields: form.fields.map(({ value: _known, ...field }) => {
    const value = values[field.id]
    return value === undefined ? field : { ...field, value }
  }),
})

function formPart(visitor: Visitor, form: Form, faults: Answers): string {
  const { ref, draftId, revision } = form.about
  const about = { form: form.id, ref, draftId, revision: revision === undefined ? undefined : String(revision) }
  const hidden = Object.entries(about)
    .map(([name, value]) => (value === undefined ? '' : `<input type="hidden" name="${name}" value="${escapeHtml(value)}">`))
    .join('')
  const back =
    ref === undefined ? '<a href="/">Back to the start</a>' : `<a href="${consultAddress(ref)}">Back to ${escapeHtml(ref)}</a>`
  return `<section aria-labelledby="form-title">
<h1 id="form-title">${escapeHtml(form.title)}${ref === undefined ? '' : ` · ${escapeHtml(ref)}`}</h1>
${faultsPart(form, faults)}
${formHtml(form, { action: '/form', extras: `${hiddenFields(visitor, fresh())}${hidden}`, faults })}
<p>${back}</p>
</section>`
}

const consultAddress = (ref: string): string => `/consult/${encodeURIComponent(ref)}`

/** Said before the fields, so that a screen reader hears at once that nothing went out; each fault stands at its field as well. */
function faultsPart(form: Form, faults: Answers): string {
  const wrong = Object.entries(faults)
  if (wrong.length === 0) return ''
  const items = wrong.map(([id, fault]) => {
    const field = form.fields.find((one) => one.id === id)
    return `<li>${escapeHtml(field === undefined ? fault : `${field.label}: ${fault}`)}</li>`
  })
  return `<div role="alert"><p><strong>Nothing was recorded yet.</strong> Your other answers still stand here.</p><ul>${items.join('')}</ul></div>`
}
