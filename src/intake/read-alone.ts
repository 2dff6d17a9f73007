import { QUANTITIES } from '../terms/quantities.js'
import { bridge } from './marks.js'
import { numberOf, short } from './numbers.js'
import { judgeValue } from './quantity-value.js'
import { endsAt, type Fault, fact, type Place, type Reader, type Reading, startsAt, tokenAt } from './reading.js'
import { unitAt } from './units-written.js'

const twoMeanings = (used: number, field: NonNullable<Fault['field']>, message: string, instead: string): Reading => ({
  used,
  faults: [{ kind: 'ambiguous', field, blocks: false, message: `${message} It is kept as written and not used.`, instead }],
})

/** Short forms that say one thing beside a word and two things alone. */
export const readShortForm: Reader = (place) => {
  const word = tokenAt(place, 0)
  if (word?.kind !== 'word') return undefined
  if (place.side === 'fellow') {
    // Negated, the "no" before it makes it words that are kept.
    if (word.lower === 'pcr')
      return { used: 1, facts: [fact('fellow.capsuleRupture', 'capsule rupture in the fellow eye', true, 'yes')] }
    const next = tokenAt(place, 1)?.text ?? ''
    if (['iol', 'pciol', 'aciol'].includes(word.lower) && (endsAt(place, 1) || /^[+-]\d|^[()]$/.test(next))) {
      return {
        used: 1,
        facts: [fact('lensStatus', 'lens status', 'pseudophakic', 'pseudophakic', `"${word.text}" read as pseudophakic`)],
      }
    }
  }
  const isAlone = startsAt(place, 0) && endsAt(place, 1)
  if (word.text === 'LA' && isAlone) {
    return twoMeanings(
      1,
      'anaesthesia',
      'local anaesthesia of which kind?',
      'topical, topical intracameral, sub-Tenon, peribulbar or retrobulbar',
    )
  }
  if (word.text === 'ST' && isAlone) {
    return twoMeanings(
      1,
      'anaesthesia',
      '"ST" may be sub-Tenon, a grade, or superotemporal.',
      'ST block for sub-Tenon, or ST5 for the grade',
    )
  }
  if (['emm', 'emmetropia', 'plano'].includes(word.lower) && isAlone) {
    return twoMeanings(
      1,
      'targetRefractionD',
      `"${word.text}" alone may be the target or a refraction.`,
      'target plano, or fellow eye plano',
    )
  }
  return undefined
}

const COUMARINS = new Set(['warfarin', 'acenocoumarol', 'phenprocoumon', 'coumarin'])

/** "INR 2.3": part of what is said of warfarin where that was just said; otherwise kept as words, for it names no drug. */
export const readClotting: Reader = (place) => {
  if (tokenAt(place, 0)?.lower !== 'inr') return undefined
  const used = 1 + bridge(place, 1)
  const token = tokenAt(place, used)
  if (token?.kind !== 'number') return undefined
  const shown = `INR ${token.text}`
  let said = false
  for (let back = 1; back <= 8; back += 1) said ||= COUMARINS.has(tokenAt(place, -back)?.lower ?? '')
  if (said && place.last === 'anticoagulant') {
    return {
      used: used + 1,
      facts: [
        fact('anticoagulant', 'warfarin', 'warfarin', `warfarin, ${shown}`, `${shown} kept beside warfarin; no rule reads it`),
      ],
    }
  }
  return { used: used + 1, facts: [fact('note', 'INR', '', shown, 'kept as written: it names no drug')] }
}

/** Sizes that main incisions are made in, mm. */
const USUAL_INCISIONS = new Set([1.8, 2, 2.2, 2.4, 2.5, 2.6, 2.65, 2.75, 2.8, 3, 3.2])
const OTHER_LENGTHS = new Set([
  'pupil',
  'pupils',
  'dilates',
  'dilated',
  'dilating',
  'dilation',
  'acd',
  'aqd',
  'chamber',
  'ac',
  'depth',
  'shallow',
  'lt',
])

function isOfSomethingElse(place: Place): boolean {
  for (let back = 1; back <= 8; back += 1) if (OTHER_LENGTHS.has(tokenAt(place, -back)?.lower ?? '')) return true
  return false
}

/** "2.4mm" alone: a usual size of the main incision, read as one and said so, unless a pupil or a depth stands near. */
export const readBareIncision: Reader = (place) => {
  const token = tokenAt(place, 0)
  const unit = unitAt(place, 1)
  if (token?.kind !== 'number' || /^[+-]/.test(token.text) || unit?.unit !== 'mm') return undefined
  const used = 1 + unit.used
  if (!startsAt(place, 0) || !endsAt(place, used) || !USUAL_INCISIONS.has(numberOf(token)) || isOfSomethingElse(place))
    return undefined
  const size = numberOf(token)
  return { used, facts: [fact('incisionMm', 'incision', size, `${short(size, 2)} mm`, 'read as the size of the main incision')] }
}

/** "zonules deficient 5 clock hours", "synechiae over 4 clock hours": how far round what was just said goes. */
export const readClockHours: Reader = (place) => {
  const over = ['over', 'for', 'of', 'about', '(', '~', 'x', '-', ':'].includes(tokenAt(place, 0)?.lower ?? '') ? 1 : 0
  const token = tokenAt(place, over)
  const unit = unitAt(place, over + 1)
  if (token?.kind !== 'number' || unit?.unit !== 'clock hours' || place.since > 2) return undefined
  if (!(tokenAt(place, over + 1)?.lower === 'clock' || tokenAt(place, over + 1)?.lower === 'h')) return undefined
  const used = over + 1 + unit.used
  if (place.last === 'zonules' || place.last === 'zonularLossClockHours') {
    const { fact: read, fault } = judgeValue('zonularLossClockHours', QUANTITIES.zonularLossClockHours, token, unit.unit)
    return { used, ...(read === undefined ? {} : { facts: [read] }), ...(fault === undefined ? {} : { faults: [fault] }) }
  }
  if (place.last !== 'posteriorSynechiae') return undefined
  const shown = `${token.text} clock hours`
  return { used, facts: [fact('note', 'extent of the synechiae', `posterior synechiae ${shown}`, shown, 'kept as written')] }
}

/** "… at 110°" after the size of an incision: its meridian. Answers how many tokens it takes and what it says. */
export function meridianAfter(place: Place, offset: number): Reading | undefined {
  if (!['at', '@', 'on'].includes(tokenAt(place, offset)?.lower ?? '')) return undefined
  const token = tokenAt(place, offset + 1)
  if (token?.kind !== 'number' || !/^\d{1,3}$/.test(token.text) || Number(token.text) > 360) return undefined
  const unit = unitAt(place, offset + 2)
  if (unit !== undefined && unit.unit !== '°') return undefined
  const assumed = unit === undefined ? '° assumed' : undefined
  return {
    used: 2 + (unit?.used ?? 0),
    facts: [fact('incisionMeridianDeg', 'meridian of the incision', Number(token.text), `${token.text}°`, assumed)],
  }
}
