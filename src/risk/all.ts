import type { PublishedModel } from '../terms/published-model.js'
import type { RiskStatement } from '../terms/risk-statement.js'
import { CAPSULE_RUPTURE_AXIAL_LENGTH, capsuleRuptureAxialLengthStatement } from './capsule-rupture-axial-length.js'
import { CAPSULE_RUPTURE_EUROPE_2022, capsuleRuptureEuropeStatement } from './capsule-rupture-europe-2022.js'
import { CAPSULE_RUPTURE_LEARNING_2021, capsuleRuptureLearningStatement } from './capsule-rupture-learning-2021.js'
import { CAPSULE_RUPTURE_MODEL_2024, capsuleRuptureModel2024Statement } from './capsule-rupture-model-2024.js'
import { capsuleRuptureOddsStatement } from './capsule-rupture-odds-statement.js'
import { CAPSULE_RUPTURE_ODDS_2009 } from './capsule-rupture-odds-table.js'
import { CAPSULE_RUPTURE_RATES, capsuleRuptureRatesStatement } from './capsule-rupture-rates.js'
import { CAPSULE_RUPTURE_SCORE_2004, capsuleRuptureScoreStatement } from './capsule-rupture-score-2004.js'
import { CONVERSION, conversionStatement } from './conversion.js'
import { DIAPHRAGM_RETROPULSION_2017, diaphragmRetropulsionStatement } from './diaphragm-retropulsion.js'
import { LATE_DISLOCATION_COHORTS, lateDislocationStatement } from './late-dislocation.js'
import { NEEDLE_BLOCK, needleBlockStatement } from './needle-block.js'
import { RETINAL_DETACHMENT, retinalDetachmentStatement } from './retinal-detachment.js'
import { detachmentAfterRuptureStatement, RETINAL_DETACHMENT_AFTER_RUPTURE } from './retinal-detachment-after-rupture.js'
import type { RiskInput } from './risk-input.js'
import { STEROID_RESPONSE_2011, steroidResponseStatement } from './steroid-response.js'
import { SUPRACHOROIDAL_HAEMORRHAGE, suprachoroidalHaemorrhageStatement } from './suprachoroidal-haemorrhage.js'
import { SURGEON_SCORE_2020, surgeonScoreStatement } from './surgeon-score-2020.js'
import { WOUND_BURN, woundBurnStatement } from './wound-burn.js'

/** Every model with what it says of an eye, in the order in which a reader meets them. */
const RISKS: readonly { readonly model: PublishedModel; readonly say: (input: RiskInput) => RiskStatement }[] = [
  { model: CAPSULE_RUPTURE_ODDS_2009, say: capsuleRuptureOddsStatement },
  { model: CAPSULE_RUPTURE_SCORE_2004, say: capsuleRuptureScoreStatement },
  { model: SURGEON_SCORE_2020, say: surgeonScoreStatement },
  { model: RETINAL_DETACHMENT, say: retinalDetachmentStatement },
  { model: RETINAL_DETACHMENT_AFTER_RUPTURE, say: detachmentAfterRuptureStatement },
  { model: DIAPHRAGM_RETROPULSION_2017, say: diaphragmRetropulsionStatement },
  { model: NEEDLE_BLOCK, say: needleBlockStatement },
  { model: CONVERSION, say: conversionStatement },
  { model: WOUND_BURN, say: woundBurnStatement },
  { model: SUPRACHOROIDAL_HAEMORRHAGE, say: suprachoroidalHaemorrhageStatement },
  { model: STEROID_RESPONSE_2011, say: steroidResponseStatement },
  { model: LATE_DISLOCATION_COHORTS, say: lateDislocationStatement },
  { model: CAPSULE_RUPTURE_AXIAL_LENGTH, say: capsuleRuptureAxialLengthStatement },
  { model: CAPSULE_RUPTURE_MODEL_2024, say: capsuleRuptureModel2024Statement },
  { model: CAPSULE_RUPTURE_EUROPE_2022, say: capsuleRuptureEuropeStatement },
  { model: CAPSULE_RUPTURE_LEARNING_2021, say: capsuleRuptureLearningStatement },
  { model: CAPSULE_RUPTURE_RATES, say: capsuleRuptureRatesStatement },
]

/** The risk models with their coefficients and sources, for a list that a clinician can check against print. */
export const RISK_MODELS: readonly PublishedModel[] = RISKS.map(({ model }) => model)

/**
 * What every risk model says of one eye, in reading order. A model whose facts are missing says which; a model that
 * does not hold for a stated value says why and gives no number.
 */
export const riskStatements = (input: RiskInput): RiskStatement[] => RISKS.map(({ say }) => say(input))
