import { describe, expect, it } from 'vitest'
import type { Form, FormField } from '../../src/cards/form.js'
import { adaptiveForm, submittedAnswers } from '../../src/views/adaptive-form.js'
import { formHtml, postedAnswers } from '../../src/views/form-page.js'
import { SLACK, TEAMS } from '../../src/views/limits.js'
import { faultsByBlock, modalAnswers, readCarried, slackModal } from '../../src/views/slack-modal.js'
import { cardFaults } from '../fakes/teams-cards.js'
import { FORMS } from './a-form.js'
import { modalSchema } from './slack-view-schemas.js'

const WHERE = { channel: 'C0001', thread: '1790000000.000100' }
const form = (id: Form['id']): Form => FORMS.find((one) => one.id === id) ?? FORMS[0] ?? expect.unreachable()
const withFields = (fields: readonly FormField[]): Form => ({ ...form('change'), fields })
const line = (id: string, rest: Partial<FormField> = {}): FormField => ({
  id,
  label: `Label of ${id}`,
  kind: 'line',
  required: false,
  ...rest,
})

describe.each(FORMS)('the form $id', (one) => {
  it('is a modal that Slack takes, with every field in it', () => {
    const view = modalSchema.parse(slackModal(one, WHERE))
    const shown = JSON.stringify(view)
    for (const { id, label } of one.fields) {
      expect(shown).toContain(`"block_id":${JSON.stringify(`f:${id}`)}`)
      expect(shown).toContain(JSON.stringify(label).slice(1, -1))
    }
    expect(readCarried(view.private_metadata ?? '')).toEqual({ form: one.id, about: one.about, ...WHERE })
  })

  it('is a card that phones draw, its one button at the level of the card, with every field that Teams has an input for', () => {
    const { card } = adaptiveForm(one)
    expect(cardFaults(card)).toEqual([])
    expect(new TextEncoder().encode(JSON.stringify(card)).length).toBeLessThanOrEqual(TEAMS.bytesPerCard)
    const inputs = card.body.flatMap((element) => ('id' in element ? [element.id] : []))
    expect(inputs).toEqual(one.fields.filter(({ kind }) => kind !== 'channel').map(({ id }) => `f:${id}`))
    expect(card.actions.map(({ type }) => type)).toEqual(['Action.Submit'])
    expect(JSON.stringify(card.body)).not.toMatch(/"type":"(?:Table|ColumnSet|ActionSet)"/)
  })

  it('is a page form in which each input has a label or a legend, and nothing needs a script', () => {
    const html = formHtml(one, { action: '/form' })
    expect(html).not.toMatch(/<script|onclick|onchange/i)
    const labelled = new Set([...html.matchAll(/<label[^>]* for="([^"]+)"/g)].map(([, id]) => id))
    for (const [, id] of html.matchAll(/<(?:input|textarea|select)[^>]* id="([^"]+)"/g)) expect(labelled).toContain(id)
    for (const { id, kind, label } of one.fields.filter((field) => field.kind !== 'channel')) {
      expect(html).toContain(`name="f:${id}"`)
      expect(html).toContain(label.replaceAll('&', '&amp;').replaceAll('“', '“'))
      expect(kind).not.toBe('channel')
    }
  })

  it('names all that a reader has to know to fill it in', () => {
    const { card } = adaptiveForm(one)
    const shown = [JSON.stringify(slackModal(one, WHERE)), JSON.stringify(card), formHtml(one, { action: '/form' })]
    const lines = (one.intro ?? '').split('\n').filter((said) => /^[\w ,.:]+$/.test(said))
    for (const view of shown) for (const said of lines) expect(view).toContain(said)
  })
})

/** What a person who changes nothing sends back. */
function slackState(view: ReturnType<typeof slackModal>): unknown {
  const blocks = view.blocks as readonly { readonly type: string; readonly block_id?: string; readonly element?: object }[]
  return Object.fromEntries(
    blocks.flatMap(({ type, block_id, element = {} }) => {
      if (type !== 'input' || block_id === undefined) return []
      const initial = (name: string): unknown => Reflect.get(element, `initial_${name}`)
      const answer = {
        type: Reflect.get(element, 'type'),
        value: initial('value') ?? null,
        selected_option: initial('option') ?? null,
        selected_options: initial('options') ?? undefined,
        selected_date: initial('date') ?? null,
        selected_users: initial('users') ?? [],
        selected_conversation: initial('conversation') ?? null,
      }
      return [[block_id, { answer: Object.fromEntries(Object.entries(answer).filter(([, value]) => value !== undefined)) }]]
    }),
  )
}

describe('a form that is sent as it was opened', () => {
  it.each(FORMS)('says on every platform what stood in it: $id', (one) => {
    const filled = one.fields.filter(({ value, kind }) => value !== undefined && kind !== 'channel')
    const expected = Object.fromEntries(filled.map(({ id, value }) => [id, value?.replaceAll(/,\s*/g, ',')]))
    const plain = (values: Readonly<Record<string, string>> | undefined) =>
      Object.fromEntries(
        Object.entries(values ?? {})
          .filter(([id]) => id !== 'channel')
          .map(([id, value]) => [id, value.replaceAll(/,\s*/g, ',')]),
      )
    expect(plain(modalAnswers(slackState(slackModal(one, WHERE)))?.values)).toEqual(expected)

    const { card } = adaptiveForm(one)
    const inputs = card.body.flatMap((element) =>
      'id' in element && element.value !== undefined ? [[element.id, element.value]] : [],
    )
    const submitted = submittedAnswers({ ...card.actions[0]?.data, ...Object.fromEntries(inputs), 'f:empty': '' })
    expect(submitted).toMatchObject({ form: one.id, about: one.about })
    expect(plain(submitted?.values)).toEqual(expected)
  })

  it('sends several answers of one field of a page together, and what was left empty not at all', () => {
    expect(postedAnswers({ 'f:steps': ['nucleus', 'lens'], 'f:sentence': ' chop ', 'f:empty': '', token: 'x' })).toEqual({
      steps: 'nucleus,lens',
      sentence: 'chop',
    })
  })
})

describe('a modal', () => {
  it('goes on in a second input where a text is longer than one takes, and puts it together again', () => {
    const text = Array.from({ length: 400 }, (_, index) => `item ${index} of a long message`).join('\n')
    expect(text.length).toBeGreaterThan(SLACK.inputText)
    const view = modalSchema.parse(slackModal(withFields([line('items', { kind: 'text', value: text, required: true })]), WHERE))
    expect(modalAnswers(slackState(view as ReturnType<typeof slackModal>))?.values).toEqual({ items: text })
  })

  it('keeps required fields and names the optional ones that it has no room for', () => {
    const many = Array.from({ length: 150 }, (_, index) => line(`many-${index}`))
    const view = modalSchema.parse(slackModal(withFields([...many, line('last', { required: true })]), WHERE))
    const shown = JSON.stringify(view)
    expect(shown).toContain('f:last')
    expect(shown).toContain('f:many-0')
    expect(shown).toContain('Label of many-149')
  })

  it('tells people who were picked apart from groups and names that were typed', () => {
    const state = {
      'f:asked': { answer: { type: 'multi_users_select', selected_users: ['U0002'] } },
      'f:asked~2': { answer: { type: 'plain_text_input', value: 'Retina team' } },
    }
    expect(modalAnswers(state)).toEqual({ values: { asked: 'Retina team' }, picked: { asked: ['U0002'] } })
  })

  it('says what is wrong beside the field it is wrong in', () => {
    expect(faultsByBlock({ lens: 'The sign is missing' })).toEqual({ 'f:lens': 'The sign is missing' })
  })

  it.each(['', '{', '{"form":"ask"}', '{"form":"other","about":{},"channel":"C1"}'])(
    'does not take %j for its own',
    (metadata) => {
      expect(readCarried(metadata)).toBeUndefined()
    },
  )

  it('never mentions anybody by what was typed', () => {
    const shown = JSON.stringify(slackModal({ ...form('change'), intro: '<!channel> <@U0001> look' }, WHERE))
    expect(shown).not.toMatch(/<!channel|<@U/)
  })
})

describe('a form on Teams', () => {
  it('names the optional fields that it has no room for, and keeps the required ones', () => {
    const hint = 'Long words about what is meant here. '.repeat(20)
    const many = Array.from({ length: 80 }, (_, index) => line(`many-${index}`, { hint }))
    const { card } = adaptiveForm(withFields([...many, line('last', { required: true, hint })]))
    const shown = JSON.stringify(card)
    expect(cardFaults(card)).toEqual([])
    expect(new TextEncoder().encode(shown).length).toBeLessThanOrEqual(TEAMS.bytesPerCard)
    expect(shown).toContain('"f:last"')
    expect(shown).toContain('Label of many-79')
  })

  it.each([
    undefined,
    null,
    {},
    { soundings: { action: 'reveal', ref: 'MARSH-7' } },
    { soundingsForm: { form: 'other', about: {} } },
  ])('does not take %j for its answers', (value) => {
    expect(submittedAnswers(value)).toBeUndefined()
  })
})

it('a page says what is wrong beside the field, for a screen reader too', () => {
  const html = formHtml(form('decide'), { action: '/form', faults: { lens: 'The sign of the lens power is missing' } })
  const [, id] = /<p class="fault" id="([^"]+)">The sign/.exec(html) ?? []
  expect(html).toMatch(new RegExp(`name="f:lens"[^>]*aria-describedby="[^"]*${id}"[^>]*aria-invalid="true"`))
})

it('a page repeats what was typed as text, never as markup', () => {
  const html = formHtml(withFields([line('items', { kind: 'text', value: '</textarea><b>"x"' })]), { action: '/form' })
  expect(html).toContain('&lt;/textarea&gt;&lt;b&gt;&quot;x&quot;')
})
