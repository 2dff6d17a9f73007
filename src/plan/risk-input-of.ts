import type { Case } from '../case/case.js'
import { isDense } from '../case/nuclear-density.js'
import { anyOf, type RiskInput } from '../risk/risk-input.js'

/** "none" is no fundal view and "clear" is a view; a partial view decides nothing. */
const noFundalView = (known: Case): boolean | undefined => {
  const view = known.fundusView?.value
  if (view === undefined || view === 'partial') return undefined
  return view === 'none'
}

/** Phacodonesis named is present; zonules called normal exclude it; weak zonules leave it open. */
const phacodonesis = (known: Case): boolean | undefined => {
  const zonules = known.zonules?.value
  if (zonules === undefined || zonules === 'weak') return undefined
  return zonules === 'phacodonesis'
}

const lattice = (known: Case): boolean | undefined => {
  const periphery = known.periphery?.value
  if (periphery === undefined || periphery === 'treated') return undefined
  return periphery === 'lattice'
}

/** What the risk models ask, from what the case states. What nobody stated stays undefined. */
export function riskInputOf(known: Case): RiskInput {
  const band = known.nucleus?.value.band
  const brown = band === undefined ? undefined : isDense(band)
  return {
    ageYears: known.ageYears?.value,
    sex: known.sex?.value,
    axialLengthMm: known.axialLengthMm?.value,
    anteriorChamberDepthMm: known.anteriorChamberDepthMm?.value,
    pupilDilatedMm: known.pupilDilatedMm?.value,
    refractionD: known.refraction?.value.sphericalEquivalentD,
    nucleusBand: band,
    // A graded nucleus that is not brown says enough; nobody grades the nucleus of a white lens.
    denseOrWhite: anyOf(brown, known.whiteCataract?.value ?? (brown === undefined ? undefined : false)),
    whiteCataract: known.whiteCataract?.value,
    noFundalView: noFundalView(known),
    pseudoexfoliation: known.pseudoexfoliation?.value,
    phacodonesis: phacodonesis(known),
    glaucoma: known.glaucoma?.value,
    diabetes: known.diabetes?.value,
    alphaBlocker: known.alphaBlocker?.value,
    canLieFlat: known.canLieFlat?.value,
    cornealScar: known.cornealScar?.value,
    posteriorCapsulePlaque: known.posteriorCapsulePlaque?.value,
    posteriorPolarCataract: known.posteriorPolarCataract?.value,
    previousVitrectomy: known.previousVitrectomy?.value,
    intravitrealInjections: known.intravitrealInjections?.value,
    onlyEye: known.onlyEye?.value,
    amblyopia: known.amblyopia?.value,
    staphyloma: known.staphyloma?.value,
    lattice: lattice(known),
    vitreous: known.vitreous?.value,
    fellowRetinalDetachment: known.fellow?.retinalDetachment?.value,
    familyRetinalDetachment: known.familyRetinalDetachment?.value,
    intraocularPressureMmHg: known.intraocularPressureMmHg?.value,
    steroidResponder: known.steroidResponder?.value,
    anaesthesia: known.anaesthesia?.value,
    technique: known.technique?.value,
    incisionMm: known.incisionMm?.value,
    surgeonGrade: known.surgeonGrade?.value,
    surgeonCases: known.surgeonCases?.value,
  }
}
