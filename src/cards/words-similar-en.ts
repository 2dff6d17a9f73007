import type { NumberFact, WordFact, YesNoFact } from '../trail/features.js'

/** The words of the part that shows cases like this one. */
export const SIMILAR_WORDS = {
  label: 'Like this',
  title: 'Cases like this one',
  none: 'no past consult near enough',
  count: (n: number) => (n === 1 ? '1 past consult' : `${n} past consults`),
  nearest: (ref: string, reasons: string) => `(nearest ${ref}: ${reasons})`,
  order: 'Where two values stand, the first is of the past case, the second of this eye.',
  convention:
    'Compared on measured facts by scales that are a convention of this project, not validated. Alike in these facts does not mean that the same plan is right.',
  both: (what: string) => `both ${what}`,
  onlyThere: (what: string) => `${what} there, not here`,
  onlyHere: (what: string) => `${what} here, not there`,
  versus: (name: string, there: string, here: string, unit: string) => `${name} ${there} vs ${here}${unit}`,
  same: (name: string, value: string, unit: string) => `${name} ${value}${unit} in both`,
  alike: 'Alike',
  unlike: 'Unlike',
  notKnown: 'Not known there',
  decision: 'Decided',
  noDecision: 'no decision recorded',
  outcome: 'Outcome',
  noOutcome: 'no outcome recorded',
  unknownBand: 'unknown',
  lens: (power: string) => `lens ${power}`,
  recommended: (power: string) => `lens ${power} was recommended`,

  numbers: {
    axialLengthMm: 'AL',
    meanKeratometryD: 'mean K',
    anteriorChamberDepthMm: 'ACD',
    lensThicknessMm: 'LT',
    centralCornealThicknessUm: 'CCT',
    whiteToWhiteMm: 'WTW',
    pupilDilatedMm: 'pupil',
    endothelialCellDensityPerMm2: 'ECD',
    intraocularPressureMmHg: 'IOP',
    ageYears: 'age',
    targetRefractionD: 'target',
    recommendedPowerD: 'lens',
    nucleusStep: 'nucleus',
  } satisfies Readonly<Record<NumberFact, string>>,

  words: {
    fundusView: 'view of the fundus',
    bScan: 'B-scan',
    staphyloma: 'staphyloma',
    macula: 'macula',
    periphery: 'periphery',
    zonules: 'zonules',
    alphaBlocker: 'alpha blocker',
    axialLengthMethod: 'AL by',
  } satisfies Readonly<Record<WordFact, string>>,

  /** Values that are said in other words than name and value. */
  sayings: {
    'fundusView none': 'no fundal view',
    'fundusView partial': 'partial fundal view',
    'fundusView clear': 'clear fundal view',
    'staphyloma present': 'staphyloma',
    'staphyloma absent': 'no staphyloma',
    'alphaBlocker never': 'never on an alpha blocker',
    'alphaBlocker past': 'alpha blocker in the past',
    'alphaBlocker current': 'alpha blocker now',
  } as Readonly<Record<string, string>>,

  yesNo: {
    whiteCataract: 'white cataract',
    posteriorPolarCataract: 'posterior polar cataract',
    pseudoexfoliation: 'pseudoexfoliation',
    fuchsDystrophy: 'Fuchs dystrophy',
    previousVitrectomy: 'previous vitrectomy',
    previousRefractiveSurgery: 'previous refractive surgery',
    onlyEye: 'only seeing eye',
    cornealScar: 'corneal scar',
    ocularTrauma: 'previous eye injury',
  } satisfies Readonly<Record<YesNoFact, string>>,
} as const
