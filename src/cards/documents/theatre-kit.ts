import type { Plan } from '../../plan/plan.js'
import { DOCUMENT_WORDS } from './words-documents-en.js'

const ITEMS = DOCUMENT_WORDS.theatre.items

interface KitItem {
  readonly item: string
  /** The precautions that call for it, by id. */
  readonly rules: readonly string[]
  /** A stated fact that calls for it by itself. */
  readonly calledForBy?: (facts: Plan['case']) => boolean
}

/** What to have at hand, and which precautions or stated facts call for it; whether it is stocked is the unit's to know. */
export const KIT: readonly KitItem[] = [
  { item: ITEMS.vitrector, rules: ['vitreous-loss-drill', 'pupil-snap', 'rupture-protocol-known'] },
  {
    item: ITEMS.irisLifter,
    rules: [
      'break-the-block-before-the-bottle',
      'retropulsion',
      'infusion-start-in-a-long-eye',
      'infusion-start-in-a-deep-chamber',
      'infusion-start-after-vitrectomy',
    ],
  },
  {
    item: ITEMS.viscoelastic,
    rules: [
      'layered-viscoelastic',
      'few-cells-under-a-hard-nucleus',
      'fuchs-viscoelastic',
      'cushion-for-the-last-fragments',
      'cell-density-1000-to-1999',
      'cell-density-500-to-999',
      'cell-density-under-500',
    ],
  },
  { item: ITEMS.stain, rules: ['capsule-stain', 'swollen-white-lens', 'corneal-scar', 'long-slot'] },
  {
    item: ITEMS.pupil,
    rules: [
      'small-pupil',
      'small-pupil-with-a-hard-nucleus',
      'posterior-synechiae',
      'alpha-blocker',
      'pseudoexfoliation',
      'long-slot',
    ],
  },
  { item: ITEMS.phenylephrine, rules: ['alpha-blocker'] },
  { item: ITEMS.capsuleHooks, rules: ['phacodonesis', 'zonular-loss-under-4-hours', 'manual-expression-with-weak-zonules'] },
  {
    item: ITEMS.ring,
    rules: [
      'ring-in-an-extreme-eye',
      'ring-size-in-a-long-eye',
      'zonular-loss-under-4-hours',
      'phacodonesis',
      'pseudoexfoliation',
      'toric-in-a-long-eye',
      'long-slot',
    ],
    calledForBy: (facts) => facts.capsularRingPlanned?.value === true,
  },
  { item: ITEMS.segments, rules: ['zonular-loss-from-4-hours'] },
  { item: ITEMS.chopper, rules: ['chop-a-hard-nucleus', 'posterior-plate'] },
  {
    item: ITEMS.manual,
    rules: [
      'plan-conversion-of-a-black-nucleus',
      'conversion-in-a-long-eye',
      'manual-surgery-in-a-long-eye',
      'manual-surgery-with-few-cells',
      'consent-for-a-dense-nucleus',
    ],
    calledForBy: (facts) => facts.technique?.value === 'manual-small-incision' || facts.technique?.value === 'extracapsular',
  },
  { item: ITEMS.suture, rules: ['wound-burn', 'viscoelastic-removed', 'suprachoroidal-haemorrhage-drill'] },
  {
    item: ITEMS.cannula,
    rules: [
      'needle-block-in-a-long-eye',
      'needle-block-with-a-staphyloma',
      'needle-block-on-a-blood-thinner',
      'retrobulbar-block',
      'topical-alone-in-a-long-eye',
      'topical-alone-for-a-hard-nucleus',
    ],
  },
  { item: ITEMS.antibiotic, rules: ['antibiotic-into-the-chamber'] },
  {
    item: ITEMS.axisMarker,
    rules: ['toric-in-a-long-eye'],
    calledForBy: (facts) => facts.toricPlanned?.value === true,
  },
]

export interface Kit {
  readonly have: readonly string[]
  /** Things that a fact nobody stated may call for, with that fact. */
  readonly settle: readonly string[]
}

/** What this eye calls for; unknown is neither yes nor no and stands apart. */
export function kitFor(plan: Plan): Kit {
  const finding = new Map(plan.precautions.map((one) => [one.id, one]))
  const called = KIT.map((row) => {
    const found = row.rules.flatMap((id) => finding.get(id) ?? [])
    const fires = found.some((one) => one.finding === 'fires') || row.calledForBy?.(plan.case) === true
    const missing = found.filter((one) => one.finding === 'unknown').flatMap((one) => one.missingFacts)
    return { item: row.item, fires, missing: [...new Set(missing)] }
  })
  const labelOf = (fact: string): string => plan.gaps.find((gap) => gap.fact === fact)?.label ?? fact
  return {
    have: called.filter(({ fires }) => fires).map(({ item }) => item),
    settle: called
      .filter(({ fires, missing }) => !fires && missing.length > 0)
      .map(({ item, missing }) => DOCUMENT_WORDS.theatre.settleItem(item, missing.slice(0, 2).map(labelOf).join(', '))),
  }
}
