import { describe, expect, it } from 'vitest'
import type { Inbound, Mentioned } from '../../src/desk/ports.js'
import { receive } from '../../src/desk/receive.js'
import { text } from './desk-in-memory.js'

const TODAY = '2026-03-02'
const ODILE: Mentioned = { said: 'Odile Finch', kind: 'person', id: 'slack:T1:U9' }

const kept = (said: string, mentioned: readonly Mentioned[] = []): Inbound['kind'] =>
  receive(text(said, { mentioned }), 'k1', TODAY).inbound.kind
const kindsIn = (said: string, mentioned: readonly Mentioned[] = []): readonly string[] => {
  const { inbound } = receive(text(said, { mentioned }), 'k1', TODAY)
  return inbound.kind === 'refused-identifiers' ? inbound.found.map(({ kind }) => kind) : []
}

// Every name is invented.
describe('the guard lets a command name colleagues where its grammar says so', () => {
  it.each([
    'post: ask Odile Finch',
    'post ask Odile Finch and Rowan Vale; today; deputy Maria Quillfeather',
    'POST: ASK ODILE FINCH',
    'post: ask odile finch',
    'post: ask john quill',
    'post: ask Dr John Quill, retina team; surgery 2026-03-09',
    'post; ask @John Quill',
    'post @John Quill',
    'post: ask O. Quillfeather; deputy J R Vale',
    'post: ask Ольга Иванова',
    'post: ask Mary-Jane O’Quillan',
    'post: ask Odile Finch (retina)',
    'give: Odile Finch',
    'give: @Odile Finch.',
    'MARSH-7 give: Odile Finch',
    'give it to @Odile Finch',
    'task: B-scan @Odile Finch by Friday',
    'task: B-scan @Odile Finch by 2026-12-01',
    'task: B-scan by 1 December 2026 @Odile Finch',
    'task: B-scan @Odile Finch 2026-03-09',
    'task: order a lens until 09.03.2026',
    'MARSH-7 task: second biometry @Muhammad Vale by tomorrow',
    'decide: A chop; operates Odile Finch; follows Odile Finch; not Rowan Vale because the retina is flat; lens +9.0',
    'outcome: 4-6 weeks on 2026-02-20; refraction -1.50',
    'find staphyloma by:"Odile Finch" AL>30',
  ])('%j', (said) => expect(kept(said)).toBe('text'))

  it('leaves the text itself as it was typed', () =>
    expect(receive(text('give: Odile Finch'), 'k1', TODAY).inbound).toEqual(text('give: Odile Finch')))

  it('lets anything mention whom the chat itself marks', () => {
    expect(kindsIn('what does Odile Finch think?')).toContain('name')
    expect(kept('what do you think, @Odile Finch?', [ODILE])).toBe('text')
    const edited = { kind: 'edited', message: 'm1', text: '@Odile Finch: flat', mentioned: [ODILE] } as const
    expect(receive({ ...edited, by: text('').by, place: text('').place, reply: {} }, 'k1', TODAY).inbound.kind).toBe('edited')
  })
})

describe('the guard still refuses who the patient is, in the same commands', () => {
  it.each([
    ['post: ask Odile Finch; John Quill 58M', 'name'],
    ['post: ask Odile Finch about John Quill', 'name'],
    ['post: ask Odile Finch, 58M John Quill', 'name'],
    ['post: ask John Quill’s wife', 'name'],
    ['post: ask Odile Finch; DOB 03/04/1958', 'date-of-birth'],
    ['post: ask Odile Finch; surgery 1958-04-03', 'date-of-birth'],
    ['post: ask Odile Finch 03/04/1958', 'date-of-birth'],
    ['post: ask Odile Finch 07700 900123', 'phone'],
    ['post: ask odile@mail.example', 'email'],
    ['give: Odile Finch, patient John Quill', 'name'],
    ['give: John Quill drops', 'name'],
    ['give John Quill his drops', 'name'],
    ['task: B-scan for John Quill @Odile Finch', 'name'],
    ['task: ring Mrs Quillfeather @Odile Finch by Friday', 'name'],
    ['task: B-scan @John Quill 58M', 'name'],
    ['task: B-scan @Odile Finch by 1958-04-03', 'date-of-birth'],
    ['task: B-scan, DOB 1958-04-03 @Odile Finch', 'date-of-birth'],
    ['task: ring 07700 900123 @Odile Finch', 'phone'],
    ['task: B-scan @Odile Finch by 9434765919', 'long-number'],
    ['decide: A chop for John Quill; operates Odile Finch', 'name'],
    ['decide: A chop; operates Odile Finch; not Rowan Vale because John Quill is anxious', 'name'],
    ['decide: A chop; operates Odile Finch on John Quill', 'name'],
    ['outcome: 4-6 weeks on 1958-04-03', 'date-of-birth'],
    ['outcome: operation on 2026-02-20; note John Quill was anxious', 'name'],
    ['find by:"Odile Finch" John Quill', 'name'],
    ['done T1: John Quill came', 'name'],
    ['agree but: ask John Quill', 'name'],
    ['Post vitrectomy LE 58M; ask John Quill', 'name'],
    ['tasks for John Quill @Odile Finch', 'name'],
    ['MARSH-7 hello, give: John Quill', 'name'],
  ])('%j as %s', (said, kind) => expect(kindsIn(said)).toContain(kind))

  it('also beside a mention, and under a mark that the chat did not set', () => {
    expect(kindsIn('@Odile Finch: John Quill is anxious', [ODILE])).toContain('name')
    expect(kindsIn('ask @Odile Finchley', [ODILE])).toContain('name')
    expect(kindsIn('ask @John Quill')).toContain('name')
  })

  it('and says where it stood, however many colleagues were taken out before it', () => {
    const { inbound } = receive(text('post: ask Odile Finch; deputy Rowan Vale;\nDOB 03/04/1958'), 'k1', TODAY)
    expect(inbound).toMatchObject({ found: [{ kind: 'date-of-birth', line: 2, column: 1 }] })
    expect(JSON.stringify(inbound)).not.toMatch(/Finch|1958/)
  })
})
