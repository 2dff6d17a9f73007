import type { PublishedModel } from '../terms/published-model.js'
import type { SurgeryStatement } from '../terms/surgery-statement.js'
import { ANAESTHETIC_DOSE, anaestheticDoseFigure } from './anaesthetic-dose.js'
import { BOTTLE_AT_ENTRY, bottleAtEntryFigure } from './bottle-at-entry.js'
import { CAPSULAR_BAG_1999, capsularBagFigure } from './capsular-bag.js'
import { CAPSULAR_RING, capsularRingFigure } from './capsular-ring.js'
import { CAPSULORHEXIS, capsulorhexisFigure } from './capsulorhexis.js'
import { ENDOTHELIUM, endotheliumFigure } from './endothelium.js'
import { INCISION, incisionFigure } from './incision.js'
import { INFUSION_PRESSURE, infusionPressureFigure } from './infusion-pressure.js'
import { PRESSURE_STABILITY, pressureStabilityFigure } from './pressure-stability.js'
import type { SurgeryInput } from './surgery-input.js'

/** Every model with its figure for an eye, in the order of the operation. */
const FIGURES: readonly { readonly model: PublishedModel; readonly figure: (input: SurgeryInput) => SurgeryStatement }[] = [
  { model: ENDOTHELIUM, figure: endotheliumFigure },
  { model: ANAESTHETIC_DOSE, figure: anaestheticDoseFigure },
  { model: INCISION, figure: incisionFigure },
  { model: CAPSULORHEXIS, figure: capsulorhexisFigure },
  { model: BOTTLE_AT_ENTRY, figure: bottleAtEntryFigure },
  { model: INFUSION_PRESSURE, figure: infusionPressureFigure },
  { model: PRESSURE_STABILITY, figure: pressureStabilityFigure },
  { model: CAPSULAR_BAG_1999, figure: capsularBagFigure },
  { model: CAPSULAR_RING, figure: capsularRingFigure },
]

/** The surgery models with their coefficients and sources, for a list that a clinician can check against print. */
export const SURGERY_MODELS: readonly PublishedModel[] = FIGURES.map(({ model }) => model)

/** Every surgery number for one eye, in the order of the operation; one whose facts are missing says which. */
export const surgeryStatements = (input: SurgeryInput): SurgeryStatement[] => FIGURES.map(({ figure }) => figure(input))
