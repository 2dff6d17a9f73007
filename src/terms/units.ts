/**
 * Units as types: a number that carries its unit cannot be passed where another unit is meant.
 * The marker exists only for the compiler; at run time these are plain numbers.
 */
export type Measure<Unit extends string> = number & { readonly unit: Unit }

export type Millimetres = Measure<'mm'>
export type Micrometres = Measure<'µm'>
export type Dioptres = Measure<'D'>
export type Degrees = Measure<'°'>
export type CellsPerSquareMillimetre = Measure<'cells/mm²'>
export type MillimetresOfMercury = Measure<'mmHg'>
export type CentimetresOfWater = Measure<'cmH2O'>
export type Years = Measure<'years'>
export type Kilograms = Measure<'kg'>
export type Milligrams = Measure<'mg'>
export type Millilitres = Measure<'mL'>

export const mm = (value: number): Millimetres => value as Millimetres
export const um = (value: number): Micrometres => value as Micrometres
export const dioptres = (value: number): Dioptres => value as Dioptres
export const degrees = (value: number): Degrees => value as Degrees
export const cellsPerMm2 = (value: number): CellsPerSquareMillimetre => value as CellsPerSquareMillimetre
export const mmHg = (value: number): MillimetresOfMercury => value as MillimetresOfMercury
export const cmH2O = (value: number): CentimetresOfWater => value as CentimetresOfWater
export const years = (value: number): Years => value as Years
export const kg = (value: number): Kilograms => value as Kilograms
export const mg = (value: number): Milligrams => value as Milligrams
export const mL = (value: number): Millilitres => value as Millilitres
