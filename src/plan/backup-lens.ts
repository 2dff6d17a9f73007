import type { LensList } from '../case/lens-list.js'
import { lensPower, refraction } from '../terms/power.js'
import { counts, type EyeForLens } from './formula-rows.js'
import { answerFor, middleRow, withLeaves } from './lens-answer.js'
import { canCarry } from './lens-choice.js'
import { sourceOfLens } from './lens-source.js'
import { plainWorking } from './plain-working.js'
import type { Plan } from './plan.js'

type Backup = NonNullable<Plan['lens']['backup']>

const FIXATION_WORDS: Readonly<Record<NonNullable<Backup['fixation']>, string>> = {
  bag: 'in the bag',
  sulcus: 'in the sulcus',
  iris: 'fixed to the iris',
  scleral: 'fixed to the sclera',
  'anterior-chamber': 'in the anterior chamber',
}

const NOT_DERIVED =
  'Its power is not derived here from the lens for the bag: the position, and with it the power, depends on the lens and on the eye, and for a minus power the usual reduction has the wrong sign.'

/**
 * The lens for an eye whose capsule cannot hold the one planned: its own constants, its own fixation, the same rows.
 * Without a backup lens in the list it says what to prepare, and gives no power.
 */
export function backupLensOf(eye: EyeForLens, lensList: LensList | undefined): Backup {
  const label = lensList?.backupLens
  const lens = lensList?.lenses.find((each) => each.label === label)
  if (!lens) {
    const why = lensList ? 'The lens list names no backup lens.' : 'There is no lens list, so no backup lens is known.'
    return {
      rows: [],
      missing: `${why} ${NOT_DERIVED}`,
      prepare:
        'Choose before surgery which lens would go in without a capsule, and by what fixation; have its power computed by its own constants and the lens in theatre.',
    }
  }
  const source = sourceOfLens(lens, 'backup lens of the list')
  const carrying = answerFor(eye, source, (adjustment) => canCarry(eye, adjustment))
  const answer = carrying.basis.rows.length > 0 ? carrying : answerFor(eye, source)
  const { chosen } = answer
  const taken = chosen && withLeaves(answer, chosen)
  const row = chosen && middleRow(answer, chosen.powerD)
  const { fixation, opticMm } = lens
  const place = FIXATION_WORDS[fixation]
  return {
    label: lens.label,
    fixation,
    opticMm,
    ...(taken
      ? { lens: taken, standsOn: answer.basis.words }
      : { missing: answer.whyNone ?? 'No backup lens is made for this eye.' }),
    rows: answer.rows.flatMap((each) =>
      counts(each) ? [{ formula: each.formula, adjustment: each.adjustment, powerForTargetD: each.powerForTarget }] : [],
    ),
    prepare: taken
      ? `Have ${lens.label} ${lensPower(taken.powerD)} in theatre, ${place}: it leaves ${refraction(taken.leaves.highD)} to ${refraction(taken.leaves.lowD)} by its own constants.${taken.supply === 'to-order' ? ' It must be ordered too.' : ''}`
      : `Choose another lens for capsule loss before surgery: ${lens.label}, ${place}, cannot serve.`,
    ...(row?.evaluation ? { working: plainWorking(row.evaluation.working()) } : {}),
  }
}
