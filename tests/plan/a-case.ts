import type { Case, Stated } from '../../src/case/case.js'

/** A stated value as a message would give it. */
export const said = <Value>(value: Value): Stated<Value> & { value: Value } => ({ value, source: 'said in a test', line: 1 })

/** An invented long eye with a brown nucleus; parts can be replaced or, with undefined, left unsaid. */
export function longBrownEye(parts: { readonly [Name in keyof Case]?: Case[Name] | undefined } = {}): Case {
  const whole = {
    eye: said('left' as const),
    ageYears: said(58),
    sex: said('male' as const),
    axialLengthMm: said(29.6),
    axialLengthMethod: said('optical' as const),
    keratometry: said({ meanD: 42.65, flatD: 42.1, steepD: 43.2, steepAxisDeg: 5, flatAxisDeg: 95, indexGiven: 1.3375 }),
    anteriorChamberDepthMm: said(3.45),
    lensThicknessMm: said(4.9),
    nucleus: said({ scale: 'locs-iii-no' as const, grade: 5.2, band: 'very-hard' as const }),
    fundusView: said('none' as const),
    bScan: said('flat' as const),
    endothelialCellDensityPerMm2: said(2180),
    surgeonGrade: said('registrar' as const),
    targetRefractionD: said(-1.75),
    lensConstants: { aConstant: said(118.9) },
    ...parts,
  }
  return Object.fromEntries(Object.entries(whole).filter(([, value]) => value !== undefined)) as Case
}
