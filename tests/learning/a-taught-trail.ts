import { OPINIONS } from '../../src/consult/opinion.js'
import { type Learning, learnFrom } from '../../src/learning/learning.js'
import type { Lesson } from '../../src/learning/lesson.js'
import { BASE_RATES } from '../../src/learning/rupture-chart.js'
import { inventedEyes, lessonFrom, ordinaryCase, planOf, weeks } from './invented-series.js'

/** Lessons of an invented series: eyes of all lengths, some of them with a rupture or far off. */
export function inventedLessons(count: number): readonly Lesson[] {
  const eyes = [
    ...inventedEyes(Math.ceil(count / 2), 31),
    ...inventedEyes(Math.floor(count / 2), 32, { meanMm: 28, spreadMm: 1.4 }),
  ]
  return eyes.map((eye, index) => {
    const plan = planOf(ordinaryCase(eye))
    const { recommended } = plan.lens
    const powerD = recommended?.powerD ?? 20
    const predicted = recommended ? (recommended.leaves.lowD + recommended.leaves.highD) / 2 : 0
    const outcome = weeks(Math.round((predicted + 0.15 + 0.45 * eye.noiseD) * 4) / 4, powerD)
    return lessonFrom(plan, {
      ref: `QUAY-${index + 1}`,
      outcomes: [index % 9 === 0 ? { ...outcome, complications: ['posterior-capsule-rupture'] } : outcome],
      opinions: [OPINIONS[index % OPINIONS.length] ?? 'agree'],
    })
  })
}

export const learningOf = (lessons: readonly Lesson[]): Learning => {
  const [, baseRate] = BASE_RATES
  if (!baseRate) throw new Error('there are later rates')
  return learnFrom(lessons, { made: '2026-11-24', consults: lessons.length + 5, unread: 0, baseRate })
}
