import type { Case } from '../case/case.js'
import { bridge, unknownMark } from './marks.js'
import { matchAt, phrases } from './phrases.js'
import { endsAt, fact, type Place, type Reader, type Reading, tokenAt } from './reading.js'

type Grade = NonNullable<Case['surgeonGrade']>['value']
const GRADES: Readonly<Record<Grade, readonly string[]>> = {
  trainee: [
    'trainee',
    'sho',
    'senior house officer',
    'ct1',
    'ct2',
    'fy2',
    'resident',
    'junior trainee',
    'pgy2',
    'pgy3',
    'junior',
  ],
  registrar: ['registrar', 'spr', 'specialist registrar', 'str', 'reg', 'senior registrar', 'senior trainee'],
  fellow: ['fellow', 'clinical fellow', 'surgical fellow', 'cataract fellow', 'tsc fellow'],
  'specialty-doctor': [
    'specialty doctor',
    'specialty-doctor',
    'staff grade',
    'trust doctor',
    'sas doctor',
    'specialty dr',
    'staff-grade',
  ],
  'associate-specialist': ['associate specialist', 'associate-specialist', 'assoc specialist'],
  consultant: ['consultant', 'attending', 'consultant surgeon', 'cons'],
}
export const GRADE_FORMS = phrases(
  (Object.keys(GRADES) as Grade[]).flatMap((grade) => GRADES[grade].map((form) => [form, grade] as const)),
)
export const SURGEON_NAMES = phrases(
  [
    'surgeon',
    'surg',
    'operating surgeon',
    'operator',
    'operating',
    'surgeon grade',
    'grade of surgeon',
    'to be done by',
    'done by',
    'operated by',
    'operates',
  ].map((form) => [form, true] as const),
)
export const SUPERVISED = phrases(
  [
    'supervised by',
    'supervised by a',
    'under',
    'supervision by',
    'supervising',
    'supervisor',
    'supervisor:',
    'with',
    'assisted by',
    'backup',
    'helped by',
    'consultant supervision',
    'consultant supervising',
    'consultant present',
    'consultant supervised',
    'consultant available',
    'under consultant supervision',
    'consultant in theatre',
    'consultant scrubbed',
    'discussed with',
    'ask',
    'asked',
    'asked by',
  ].map((form) => [form, true] as const),
)

const trainingYear = (place: Place): Reading | undefined => {
  const [letters, year] = [tokenAt(place, 0), tokenAt(place, 1)]
  if (letters?.lower !== 'st' || year?.kind !== 'number' || year.gap > 0 || !/^[1-8]$/.test(year.text)) return undefined
  const grade: Grade = Number(year.text) <= 2 ? 'trainee' : 'registrar'
  return { used: 2, facts: [fact('surgeonGrade', "surgeon's grade", grade, grade, `ST${year.text} read as ${grade}`)] }
}

const supervision = (place: Place, used: number): Reading => {
  const words = Array.from({ length: used }, (_, index) => tokenAt(place, index)?.text ?? '').join(' ')
  return { used, facts: [fact('note', 'supervision', '', words, 'kept as written; the plan is for the surgeon who operates')] }
}

export const STANDING_BY = phrases(
  [
    'scrubbed',
    'present',
    'available',
    'supervising',
    'supervises',
    'to supervise',
    'backup',
    'back-up',
    'in theatre',
    'in theater',
    'in the room',
    'on site',
    'nearby',
    'assisting',
    'to assist',
    'unscrubbed',
  ].map((form) => [form, true] as const),
)

/** "cons in theatre", "attending scrubbed": who stands by does not operate first. Answers how many tokens say so. */
const standsBy = (place: Place, offset: number): number => {
  const link = ['is', 'will', 'be', '-'].includes(tokenAt(place, offset)?.lower ?? '') ? 1 : 0
  const match = matchAt(STANDING_BY, place.tokens, place.at + offset + link)
  return match === undefined || place.at + offset + link + match.used > place.end ? 0 : link + match.used
}

/** The grade of the surgeon who operates first. A supervisor's grade is not it. */
export const readSurgeon: Reader = (place) => {
  const aided = matchAt(SUPERVISED, place.tokens, place.at)
  if (aided !== undefined && place.at + aided.used <= place.end) {
    const grade = matchAt(GRADE_FORMS, place.tokens, place.at + aided.used)
    const last = tokenAt(place, aided.used - 1)?.lower ?? ''
    if (tokenAt(place, 0)?.lower === 'consultant' || tokenAt(place, 1)?.lower === 'consultant') {
      const more = ['supervision', 'supervising', 'present', 'available'].includes(
        tokenAt(place, aided.used + (grade?.used ?? 0))?.lower ?? '',
      )
        ? 1
        : 0
      if (aided.used > 1 || grade !== undefined) return supervision(place, aided.used + (grade?.used ?? 0) + more)
    }
    if (grade !== undefined && last !== 'consultant') return supervision(place, aided.used + grade.used)
  }
  let used = 0
  const name = matchAt(SURGEON_NAMES, place.tokens, place.at)
  if (name !== undefined) used = name.used + bridge(place, name.used)
  while (used > 0 && ['a', 'an', 'the', 'by'].includes(tokenAt(place, used)?.lower ?? '')) used += 1
  const at = { ...place, at: place.at + used }
  const year = trainingYear(at)
  if (year !== undefined) return { ...year, used: used + year.used }
  const grade = matchAt(GRADE_FORMS, place.tokens, place.at + used)
  if (grade === undefined || place.at + used + grade.used > place.end) {
    const unknown = used > 0 ? unknownMark(place, used) : 0
    return unknown > 0
      ? { used: used + unknown, facts: [fact('surgeonGrade', "surgeon's grade", undefined, 'not known')] }
      : undefined
  }
  const stands = standsBy(place, used + grade.used)
  if (used === 0 && stands > 0) return supervision(place, grade.used + stands)
  const word = tokenAt(place, used)
  if (word?.lower === 'reg' && used === 0 && !endsAt(place, 1) && tokenAt(place, 1)?.kind === 'word') return undefined
  let taken = used + grade.used
  if (['operates', 'operating', 'surgeon', 'list', 'to'].includes(tokenAt(place, taken)?.lower ?? '')) taken += 1
  if (tokenAt(place, taken - 1)?.lower === 'to' && tokenAt(place, taken)?.lower === 'operate') taken += 1
  // "consultant to review": the word after "to" decides; anything else is left to be read on its own.
  else if (tokenAt(place, taken - 1)?.lower === 'to') taken -= 1
  const shown = grade.value.replace('-', ' ')
  const assumed = word?.lower === grade.value || grade.used > 1 ? undefined : `${word?.text ?? ''} read as ${shown}`
  return { used: taken, facts: [fact('surgeonGrade', "surgeon's grade", grade.value, shown, assumed)] }
}
