import { isTooLate } from '../plan/order-lens.js'
import type { BiometryCheck, Plan } from '../plan/plan.js'
import { FORMULA_NAMES } from '../terms/formulas.js'
import { lensPower, refraction, signed } from '../terms/power.js'
import type { Block, Section } from './card.js'
import { asSentence, capitalised, dayInWords, powerRange, refractionRange } from './figures.js'
import { FIGURE_WORDS } from './words-figures-en.js'
import { LENS_WORDS } from './words-lens-en.js'

type Lens = Plan['lens']
type Existing = NonNullable<NonNullable<Lens['backup']>['lens']>

const fact = (label: string, text: string): Block => ({ kind: 'fact', label, text })
const list = (items: readonly string[]): readonly Block[] => (items.length === 0 ? [] : [{ kind: 'list', items }])
const range = ({ lowD, highD }: { readonly lowD: number; readonly highD: number }): string => refractionRange(lowD, highD)
const inWords = (lens: Existing): string => `${lensPower(lens.powerD)}, ${LENS_WORDS.leaves(range(lens.leaves))}`

/** "Order: order by 30 Nov 2026", or that it is too late, with what is in stock; for the first screen. */
export function orderLine(plan: Plan, today: string | undefined): readonly Block[] {
  const ordering = plan.lens.recommended?.ordering
  if (ordering?.by === undefined) return []
  const late = today !== undefined && isTooLate(ordering, today)
  const when = (late ? LENS_WORDS.tooLate : LENS_WORDS.orderBy)(dayInWords(ordering.by))
  const { withoutOrdering } = ordering
  const instead = withoutOrdering
    ? LENS_WORDS.instead(lensPower(withoutOrdering.powerD), range(withoutOrdering.leaves))
    : LENS_WORDS.nothingInStock
  return [{ kind: 'fact', label: LENS_WORDS.order, text: late ? `${when}; ${instead}` : when, ...(late ? { strong: true } : {}) }]
}

/** "Backup lens: Quay S +9.0 D, in the sulcus"; for the first screen. */
export function backupLine(plan: Plan): readonly Block[] {
  const { backup } = plan.lens
  if (backup === undefined) return []
  const place = backup.fixation === undefined ? '' : `, ${LENS_WORDS.fixation[backup.fixation]}`
  const text = backup.lens ? `${backup.label ?? ''} ${lensPower(backup.lens.powerD)}${place}`.trim() : LENS_WORDS.noBackup
  return [fact(LENS_WORDS.backup, text)]
}

function backupSection({ backup, recommended }: Lens): readonly Section[] {
  if (backup === undefined) return []
  const asked = backup.rows.map(({ powerForTargetD }) => powerForTargetD)
  const ordered = backup.lens?.supply === 'to-order' ? `, ${LENS_WORDS.mustBeOrdered}` : ''
  return [
    {
      id: 'backup',
      title: LENS_WORDS.titles.backup,
      blocks: [
        ...(backup.lens ? [fact(LENS_WORDS.backup, `${backup.label ?? ''} ${inWords(backup.lens)}${ordered}`.trim())] : []),
        ...(backup.missing === undefined
          ? []
          : [{ kind: 'fact', label: LENS_WORDS.missing, text: backup.missing, strong: true } as const]),
        fact(LENS_WORDS.prepare, backup.prepare),
        ...(asked.length === 0 ? [] : [fact(LENS_WORDS.asks, powerRange(Math.min(...asked), Math.max(...asked), 2))]),
        ...(recommended?.ordering ? [fact(LENS_WORDS.order, recommended.ordering.words)] : []),
      ],
    },
  ]
}

function besideSection({ fellow, targetChoice }: Lens): readonly Section[] {
  const blocks: Block[] = [
    ...list((fellow?.words ?? []).map(asSentence)),
    ...(fellow?.secondEye ? [fact(LENS_WORDS.secondEye, asSentence(fellow.secondEye.words))] : []),
    ...(fellow && fellow.missing.length > 0 ? [fact(LENS_WORDS.missing, fellow.missing.join('; '))] : []),
    ...(targetChoice
      ? [
          { kind: 'question', text: targetChoice.question } as const,
          {
            kind: 'table',
            caption: LENS_WORDS.target,
            columns: [...LENS_WORDS.targetColumns],
            rows: targetChoice.options.map(({ aim, targetD, lens }) => [
              capitalised(aim),
              refraction(targetD),
              lens ? lensPower(lens.powerD) : LENS_WORDS.noLens,
              lens ? range(lens.leaves) : '',
            ]),
          } as const,
        ]
      : []),
  ]
  return blocks.length === 0 ? [] : [{ id: 'beside', title: LENS_WORDS.titles.beside, where: 'page', blocks }]
}

const at = ({ magnitudeD, meridianDeg }: { readonly magnitudeD: number; readonly meridianDeg: number }): string =>
  FIGURE_WORDS.atMeridian(magnitudeD.toFixed(2), String(Math.round(meridianDeg)))

function toricSection({ toric }: Lens): readonly Section[] {
  if (toric === undefined) return []
  const { keratometric, induced, estimates, lens, rotation, missing, caveats } = toric
  const cornea = [...(keratometric ? [at(keratometric)] : []), ...(induced ? [LENS_WORDS.induced(at(induced))] : [])]
  return [
    {
      id: 'toric',
      title: LENS_WORDS.titles.toric,
      where: 'page',
      blocks: [
        { kind: 'line', text: asSentence(capitalised(toric.because)), weight: 'plain' },
        ...(cornea.length === 0 ? [] : [fact(LENS_WORDS.keratometric, cornea.join(', '))]),
        ...(estimates.length === 0
          ? []
          : [
              {
                kind: 'table',
                caption: LENS_WORDS.toricCaption,
                columns: [...LENS_WORDS.toricColumns],
                rows: estimates.map(({ model, total, lensCylinderD, outOfRange }) => [
                  model,
                  total ? at(total) : (outOfRange ?? ''),
                  lensCylinderD === undefined ? '' : `${lensCylinderD.toFixed(2)} D`,
                ]),
              } as const,
            ]),
        ...(lens ? [fact(LENS_WORDS.toricStep, asSentence(lens.words))] : []),
        fact(
          LENS_WORDS.rotation,
          rotation
            .map(({ degrees, shareLeft }) => LENS_WORDS.rotationLeaves(degrees, `${Math.round(shareLeft * 100)} %`))
            .join(', '),
        ),
        ...(missing.length > 0 ? [fact(LENS_WORDS.missing, missing.join('; '))] : []),
        ...list(caveats),
      ],
    },
  ]
}

const saidBy = (checks: readonly BiometryCheck[], finding: BiometryCheck['finding']): readonly string[] =>
  checks.filter((check) => check.finding === finding).map(({ words }) => asSentence(capitalised(words)))

function biometrySection({ biometryChecks }: Plan): readonly Section[] {
  const parts = [
    [LENS_WORDS.confirm, saidBy(biometryChecks, 'confirm')],
    [LENS_WORDS.cannotCheck, saidBy(biometryChecks, 'unknown')],
    [LENS_WORDS.within, saidBy(biometryChecks, 'within')],
  ] as const
  const blocks = parts.flatMap(([title, items]): readonly Block[] =>
    items.length === 0 ? [] : [{ kind: 'line', text: title, weight: 'strong' }, ...list([...new Set(items)])],
  )
  return blocks.length === 0 ? [] : [{ id: 'biometry', title: LENS_WORDS.titles.biometry, where: 'page', blocks }]
}

function separateSection({ separateConstants }: Lens): readonly Section[] {
  if (separateConstants === undefined) return []
  const side = (powerD: number | undefined, words: string) => (powerD === undefined ? [] : [`${signed(powerD, 2)} D ${words}`])
  const items = separateConstants.pairs.map(
    ({ formula, withPlusConstantD, withMinusConstantD, noNumber, source }) =>
      `${FORMULA_NAMES[formula]}: ${[...side(withPlusConstantD, LENS_WORDS.plus), ...side(withMinusConstantD, LENS_WORDS.minus), ...noNumber].join('; ')} (${source.cite})`,
  )
  return [
    {
      id: 'separate-constants',
      title: LENS_WORDS.titles.separate,
      where: 'page',
      blocks: [
        fact(LENS_WORDS.objection, `${separateConstants.objection} (${separateConstants.objectionSource.cite})`),
        ...list(items.map(asSentence)),
      ],
    },
  ]
}

/** What stands behind the lens beyond its formulas, in the order in which it is asked for. */
export const lensDetailSections = (plan: Plan): readonly Section[] => [
  ...backupSection(plan.lens),
  ...besideSection(plan.lens),
  ...toricSection(plan.lens),
  ...biometrySection(plan),
  ...separateSection(plan.lens),
]
