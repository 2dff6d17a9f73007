/** The phrases of the picture of the risks, in English. */
export const RISK_PICTURE_WORDS = {
  head: (eye: string) => `${eye} · risks`,
  titles: {
    'capsule-rupture-odds-2009': 'Capsule rupture',
    'capsule-rupture-score-2004': 'Capsule rupture, by points',
    'retinal-detachment': 'Retinal detachment',
    'retinal-detachment-after-capsule-rupture': 'Detachment after a rupture',
    'suprachoroidal-haemorrhage': 'Suprachoroidal haemorrhage',
    'wound-burn': 'Wound burn',
  },
  figure: (what: string, figure: string) => `${what}: ${figure}`,
  recalibrated: (range: string) => `same model, later rates: ${range}`,
  key: 'Bars on one scale. Solid: up to the lowest figure; strokes: up to the highest.',
  notYours: 'Figures of groups; models are not added up.',
} as const
