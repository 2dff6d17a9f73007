import { describe, expect, it } from 'vitest'
import type { Card } from '../../src/cards/card.js'
import { WORDS } from '../../src/cards/words-en.js'
import { typedAnswer } from '../../src/consult/typed-answer.js'
import { planSchema } from '../../src/plan/plan.js'
import { plainText } from '../../src/views/plain.js'
import { cardOf, first, need, planWith, section, textOf } from './a-consult-card.js'
import { A_PLAN, precaution } from './a-plan.js'

it('stands on an invented plan that the published schema accepts', () => {
  expect(planSchema.safeParse(A_PLAN).error?.issues ?? []).toEqual([])
})

describe('the first screen', () => {
  it('goes from the eye to the answers in the agreed order', () => {
    const text = `${cardOf().title}\n${first(cardOf())}`
    const order = [
      'Left eye (OS) · MARSH-7',
      'Asked by B. Asker, registrar · registrar operates',
      'Hard here: AL 29.60 mm, optical through a very hard lens: in doubt',
      'Question: “Chop, or plan a manual extraction from the start?”',
      'Lens (in stock): +9.0 D for −1.75 D',
      'Leaves −1.75 to −1.91 D with length adjustment (used), −2.41 to −3.31 D without; coefficients unchecked in print.',
      'Senior operates, or stands scrubbed.',
      'Capsule rupture, registrar: 14 in 100',
      'Low bottle for the deep chamber',
      'Who takes on: second biometry',
      'Below: 1 more critical, 2 warnings, 1 note',
      'Answers: none yet',
    ].map((part) => text.indexOf(part))
    // Why those rows are used stands one tap away.
    expect(order).not.toContain(-1)
    expect(order).toEqual([...order].sort((one, other) => one - other))
  })

  it('says nothing twice', () => {
    const texts = cardOf().first.map(textOf)
    expect(new Set(texts).size).toBe(texts.length)
  })

  it('shows at most five critical cautions, those that can still be changed and the gravest first, and counts the rest', () => {
    const criticals = Array.from({ length: 8 }, (_, index) =>
      precaution({
        id: `c${index}`,
        text: `Caution ${index}.`,
        indicator: 'critical',
        harm: (index % 5) + 1,
        changeableBefore: index !== 0,
      }),
    )
    const card = cardOf({ plan: planWith({ precautions: criticals }) })
    const shown = card.first.flatMap((block) => (block.kind === 'caution' ? [block.text] : []))
    expect(shown).toEqual(['Caution 5.', 'Caution 1.', 'Caution 6.', 'Caution 2.', 'Caution 7.'])
    expect(first(card)).toContain('Below: 3 more critical, ')
    const below = section(card, 'precautions')
    expect(criticals.filter((one) => !below.includes(one.text))).toEqual([])
  })

  it('shows advice that two precautions give as one caution, the gravest, and keeps what the other says behind it', () => {
    const twice = [
      precaution({ id: 'one', text: 'Scrub beside.', indicator: 'critical', advice: 'supervise' }),
      precaution({ id: 'two', text: 'Have a senior near.', advice: 'supervise', why: 'Why again' }),
    ]
    const card = cardOf({ plan: planWith({ precautions: twice }) })
    expect(card.first.filter((block) => block.kind === 'caution')).toHaveLength(1)
    expect(first(card)).not.toContain('warning')
    expect(card.summary).toContain('1 critical caution.')
    const behind = card.sections.find((one) => one.id === 'precautions')?.blocks
    expect(behind?.flatMap((block) => (block.kind === 'caution' ? [block.why] : []))).toEqual([
      expect.stringContaining('Also: Have a senior near. Why again.'),
    ])
  })

  it('has a line on detachment only where something stated raises it above its band, with cohorts and years', () => {
    const detachment = {
      ...need(A_PLAN.risks[1]),
      id: 'retinal-detachment',
      about: 'Retinal detachment',
      years: '1997–2023',
      band: { low: 0.02, high: 0.08, words: '2 to 8 in 100 over 3 to 8 years (studies from 0.8 to 8 in 100)' },
    }
    const raised = [{ factor: 'age under 60', level: 'present', effect: 'above the band (× 3.8)' }]
    const withRisk = (factorsUsed: typeof raised) =>
      first(cardOf({ plan: planWith({ risks: [...A_PLAN.risks, { ...detachment, factorsUsed }] }) }))
    expect(withRisk(raised)).toContain('Detachment: 2 to 8 in 100 over 3 to 8 years (cohorts 1997–2023), higher: age under 60')
    expect(withRisk([])).not.toContain('Detachment')
  })

  it('names the facts that nobody stated as far as they fit, and counts the others as facts', () => {
    const gaps = Array.from({ length: 30 }, (_, index) => ({
      ...need(A_PLAN.gaps[1]),
      fact: `f${index}`,
      label: `fact number ${index}`,
    }))
    expect(first(cardOf({ plan: planWith({ gaps }) }))).toContain('30 facts not stated (fact number 2, fact number 3 …)')
  })

  it('says loudly that the eye is not stated', () => {
    const { eye: _, ...facts } = A_PLAN.case
    const card = cardOf({ plan: planWith({ case: facts }) })
    expect(card.title).toBe('Eye not stated · MARSH-7')
    expect(card.first[0]).toEqual({ kind: 'line', text: WORDS.eyeNotStatedLoud, weight: 'strong' })
  })

  it('says what is missing for the lens power and what it would change', () => {
    const { recommended: _, spread: __, ...lens } = A_PLAN.lens
    const missing = [{ fact: 'axialLengthMm', label: 'axial length', wouldChange: 'the lens power stands on it' }]
    const card = cardOf({ plan: planWith({ lens: { ...lens, formulas: [], missing } }) })
    expect(first(card)).toContain('No lens power: Without axial length: the lens power stands on it.')
    expect(card.summary).toContain('no lens power yet')
  })

  it('keeps the sign of negative and zero powers', () => {
    const powered = (powerD: number) =>
      first(cardOf({ plan: planWith({ lens: { ...A_PLAN.lens, recommended: { ...need(A_PLAN.lens.recommended), powerD } } }) }))
    expect(powered(-3.5)).toContain('−3.5 D for')
    expect(powered(0)).toContain('0.0 D for')
    expect(powered(-0.25)).toContain('−0.25 D for')
  })

  it('never gives a probability without its model, population and years', () => {
    const text = first(cardOf())
    for (const [figure, ...origin] of [
      ['14 in 100', '2001-06 odds model', '55,567 operations', '2001-2006'],
      ['score 4: 5 in 100', 'integer score', '1,000 operations', '2004'],
    ]) {
      expect(text).toContain(figure)
      expect(origin.filter((part) => !text.includes(part))).toEqual([])
    }
    for (const risk of A_PLAN.risks) expect(section(cardOf(), 'risks')).toContain(risk.population)
  })

  it('says that nothing stated marks the eye out, and that unknown is not normal', () => {
    const { axialLengthMm: _a, nucleus: _n, fundusView: _f, endothelialCellDensityPerMm2: _e, ...facts } = A_PLAN.case
    expect(first(cardOf({ plan: planWith({ case: facts, gaps: [] }) }))).toContain('unknown is not normal')
  })
})

describe('questions, tasks and answers', () => {
  it('asks at most three things first and counts the others', () => {
    const gaps = Array.from({ length: 6 }, (_, index) => ({
      ...need(A_PLAN.gaps[1]),
      fact: `fact${index}`,
      label: `gap ${index}`,
    }))
    const card = cardOf({ plan: planWith({ gaps, tensions: [] }) })
    expect(card.first.filter((block) => block.kind === 'question')).toHaveLength(3)
    // the three that are asked are not named again
    expect(first(card)).toContain('6 facts not stated (gap 3, gap 4, gap 5)')
  })

  it('shows who has taken a gap and by when', () => {
    const owner = { id: 'web:d', name: 'D. Owner' }
    const task = { fact: 'axialLengthMm', task: 'second biometry', owner, day: '2026-12-03', done: false }
    expect(first(cardOf({ tasks: [task] }))).toContain('Second biometry: D. Owner, by 3 Dec 2026.')
    expect(section(cardOf({ tasks: [{ ...task, done: true }] }), 'gaps')).toContain('second biometry: done by D. Owner.')
  })

  it('sets each precaution that cannot be judged under the question that would decide it', () => {
    const text = section(cardOf(), 'waiting')
    expect(text).toContain('Alpha blocker')
    expect(text).toContain('Warning, assessment: Plan for a floppy iris.')
  })

  it('shows grade and field beside each answer, says when a grade is not stated, and puts objections first', () => {
    const agree = { kind: 'agree', steps: [], sentence: 'Chop.' } as const
    const opinions = [
      { by: { id: '1', name: 'A. Name', grade: 'consultant', field: 'cornea' }, revision: 1, opinion: agree },
      {
        by: { id: '2', name: 'C. Third' },
        revision: 1,
        opinion: { kind: 'do-not-operate-on-this-plan', steps: ['lens'] } as const,
      },
    ]
    const text = first(cardOf({ opinions, revision: 2 }))
    expect(text).toContain('Agree · consultant, cornea · A. Name · on revision 1: Chop.')
    expect(text).toContain('Do not operate on this plan · grade not stated · C. Third · about lens')
    expect(text.indexOf('C. Third')).toBeLessThan(text.indexOf('A. Name'))
  })

  it('lists all answers below when they do not fit', () => {
    const opinions = Array.from({ length: 5 }, (_, index) => ({
      by: { id: String(index), name: `Colleague ${index}` },
      revision: 1,
      opinion: { kind: 'agree', steps: [] } as const,
    }))
    const card = cardOf({ opinions })
    expect(first(card)).toContain('Answers: Agree 5 · 2 more below')
    expect(opinions.filter(({ by }) => !section(card, 'answers').includes(by.name))).toEqual([])
  })

  it('offers typed forms that the reader of typed answers understands', () => {
    const forms = WORDS.typing
      .split(': ')
      .slice(1)
      .join(': ')
      .split(' · ')
      .map((form) => typedAnswer(form.replace('…', 'lower the bottle'))?.kind)
    expect(forms).toEqual([
      'agree',
      'agree-with-changes',
      'need-this-first',
      'not-this-surgeon-alone',
      'do-not-operate-on-this-plan',
    ])
  })
})

describe('what unfolds', () => {
  it('has one row per lens that exists, the recommended one named', () => {
    const table = cardOf()
      .sections.find((one) => one.id === 'lens')
      ?.blocks.find((block) => block.kind === 'table')
    expect(table?.kind === 'table' ? table.rows.map((row) => row[0]) : []).toEqual([
      '+8.0 D',
      '+8.5 D',
      '+9.0 D (recommended)',
      '+9.5 D',
      '+10.0 D',
    ])
  })

  it('says of each formula why it is only compared or set aside', () => {
    const text = section(cardOf(), 'lens')
    expect(text).toContain('Haigis: start constants, not optimised for this formula')
    expect(text).toContain('T2; SRK/T, Holladay 1, Hoffer Q (no length adjustment): unadjusted formulas')
    expect(text).toContain('Left eye (OS)')
  })

  it('gives both sides of a tension with their sources', () => {
    const text = section(cardOf(), 'tensions')
    expect(text).toContain('thin capsule. [Author 2012]')
    expect(section(cardOf(), 'sources')).toContain('Author F 2007 (read in the source)')
  })

  it('shows each value with the words it was read from, and what was not understood', () => {
    const text = section(cardOf(), 'case')
    expect(text).toContain('K1 42.10@95 K2 43.20@5')
    expect(text).toContain('assumed: index 1.3375')
    expect(text).toContain('Not understood: “seen w. Friday list”')
  })

  it('shows greater ages as 90 or over', () => {
    const aged = { value: 90, source: 'aged', line: 1 }
    expect(section(cardOf({ plan: planWith({ case: { ...A_PLAN.case, ageYears: aged } }) }), 'case')).toContain('90 or over')
  })

  it('draws the plan, and the risks above their words, where pictures can be shown', () => {
    const pictures = (card: Card) =>
      card.sections.flatMap(({ id, blocks }) =>
        blocks.flatMap(({ kind }, index) => (kind === 'picture' ? [`${id} ${index}`] : [])),
      )
    expect(pictures(cardOf({ withPictures: true }))).toEqual(['picture 0', 'risks 0'])
    expect(pictures(cardOf())).toEqual([])
  })

  it('shows the working of a number on request: inputs, equation, steps and source', () => {
    expect(section(cardOf(), 'working')).toBe('')
    const text = section(cardOf({ withWorking: true }), 'working')
    expect(text).toContain('P = 1336/(L - d) - 1336/(1336/Z - d)')
    expect(text).toContain('axial length = 28.94 mm')
    expect(text).toContain('awaiting a check in print')
  })
})

describe('the words', () => {
  const whole = plainText(cardOf({ withWorking: true }), { width: 100_000 })

  it('defer once to the surgeon, local protocols, the label and licensed practice', () => {
    expect(whole.split(WORDS.defers)).toHaveLength(2)
  })

  it('never call a case safe or a consult anonymous', () => {
    expect(whole).not.toMatch(/anonym|is safe|guarantee/i)
  })

  it('fit a notification and the buttons of a phone', () => {
    expect(cardOf().summary.length).toBeLessThanOrEqual(140)
    expect(cardOf().choices.filter((choice) => choice.label.length > 30)).toEqual([])
  })
})
