import type { PublishedModel } from '../terms/published-model.js'
import type { Source } from '../terms/source.js'
import { type Millimetres, mm } from '../terms/units.js'
import { coefficientsOf, type HaigisConstants } from './lens-formula.js'

const SRK_T_CONSTANT_SOURCE: Source = {
  cite: 'Retzlaff JA, Sanders DR, Kraff MC. J Cataract Refract Surg 1990;16:333-340',
  year: 1990,
  sureness: 'memory',
}
const SURGEON_FACTOR_SOURCE: Source = {
  cite: 'Holladay JT et al. J Cataract Refract Surg 1988;14:17-24',
  year: 1988,
  sureness: 'memory',
}
const PERSONALISED_ACD_SOURCE: Source = {
  cite: 'Hoffer KJ. J Cataract Refract Surg 1993;19:700-712',
  year: 1993,
  sureness: 'memory',
}
const HAIGIS_SOURCE: Source = {
  cite: 'Haigis W. The Haigis formula. In: Shammas HJ (ed). Intraocular Lens Power Calculations. Thorofare: Slack; 2004',
  year: 2004,
  sureness: 'memory',
}

const ACD_PER_A = 0.62467
const ACD_AT_ZERO_A = 68.747
const FACTOR_PER_A = 0.5663
const FACTOR_AT_ZERO_A = 65.6
const FACTOR_PER_ACD = 0.9704
const FACTOR_AT_ZERO_ACD = 3.595
const PER_CHAMBER_DEPTH = 0.4
const PER_AXIAL_LENGTH = 0.1
const MEAN_CHAMBER_DEPTH = 3.37
const MEAN_AXIAL_LENGTH = 23.39

/**
 * Anterior chamber depth constant that belongs to an A-constant.
 *
 * - Domain: posterior-chamber lenses of plus power of about 1990. A constant optimised for the formula itself is better.
 * - Source: Retzlaff JA, Sanders DR, Kraff MC. J Cataract Refract Surg 1990;16:333-340.
 *
 * @example
 * ```ts
 * acdConstantFromA(118.4) // => 5.213928
 * ```
 * @param aConstant A-constant
 * @returns mm
 */
export const acdConstantFromA = (aConstant: number): Millimetres => mm(ACD_PER_A * aConstant - ACD_AT_ZERO_A)

/**
 * Surgeon factor that belongs to an A-constant.
 *
 * - Source: Holladay JT et al. J Cataract Refract Surg 1988;14:17-24.
 *
 * @example
 * ```ts
 * surgeonFactorFromA(118.4) // => 1.44992
 * ```
 * @param aConstant A-constant
 * @returns mm
 */
export const surgeonFactorFromA = (aConstant: number): Millimetres => mm(FACTOR_PER_A * aConstant - FACTOR_AT_ZERO_A)

/**
 * Personalised anterior chamber depth that belongs to a surgeon factor.
 *
 * - Source: Holladay 1988; Hoffer KJ. J Cataract Refract Surg 1993;19:700-712.
 *
 * @example
 * ```ts
 * personalisedAcdFromSurgeonFactor(mm(1.2234)) // => 4.965375
 * ```
 * @param surgeonFactor mm
 * @returns mm
 */
export const personalisedAcdFromSurgeonFactor = (surgeonFactor: Millimetres): Millimetres =>
  mm((surgeonFactor + FACTOR_AT_ZERO_ACD) / FACTOR_PER_ACD)

/**
 * Surgeon factor that belongs to a personalised anterior chamber depth; the inverse of the relation above.
 * @param personalisedAcd mm
 * @returns mm
 */
export const surgeonFactorFromPersonalisedAcd = (personalisedAcd: Millimetres): Millimetres =>
  mm(FACTOR_PER_ACD * personalisedAcd - FACTOR_AT_ZERO_ACD)

/**
 * Personalised anterior chamber depth that belongs to an A-constant, through the surgeon factor.
 *
 * @example
 * ```ts
 * personalisedAcdFromA(118) // => 4.965375
 * ```
 * @param aConstant A-constant
 * @returns mm
 */
export const personalisedAcdFromA = (aConstant: number): Millimetres =>
  personalisedAcdFromSurgeonFactor(surgeonFactorFromA(aConstant))

/**
 * Start values of the three Haigis constants from an A-constant.
 *
 * They are a place to begin optimising, not constants to operate by: with the same A the Haigis formula then asks for
 * about 1 D more than SRK/T in an average eye.
 *
 * - Source: Haigis W, in Shammas HJ (ed) 2004.
 *
 * @example
 * ```ts
 * haigisStartFromA(118.4) // => { a0: 1.526928, a1: 0.4, a2: 0.1 }
 * ```
 * @param aConstant A-constant
 * @returns a0 in mm, a1 and a2 without unit
 */
export const haigisStartFromA = (aConstant: number): HaigisConstants => ({
  a0: mm(acdConstantFromA(aConstant) - PER_CHAMBER_DEPTH * MEAN_CHAMBER_DEPTH - PER_AXIAL_LENGTH * MEAN_AXIAL_LENGTH),
  a1: PER_CHAMBER_DEPTH,
  a2: PER_AXIAL_LENGTH,
})

const relation = (id: string, model: string, source: Source, rows: Parameters<typeof coefficientsOf>[1]): PublishedModel => ({
  id,
  about: 'lens constants',
  model,
  population: 'posterior-chamber lenses of plus power',
  years: `before ${source.year}`,
  source,
  coefficients: coefficientsOf(source, rows),
})

/** The relations between lens constants, with their numbers. */
export const lensConstantModels: readonly PublishedModel[] = [
  relation('acd-constant-from-a', 'ACD constant from the A-constant', SRK_T_CONSTANT_SOURCE, [
    ['slope', ACD_PER_A, 'mm'],
    ['offset', -ACD_AT_ZERO_A, 'mm'],
  ]),
  relation('surgeon-factor-from-a', 'Surgeon factor from the A-constant', SURGEON_FACTOR_SOURCE, [
    ['slope', FACTOR_PER_A, 'mm'],
    ['offset', -FACTOR_AT_ZERO_A, 'mm'],
  ]),
  relation('surgeon-factor-from-acd', 'Surgeon factor from the personalised ACD', PERSONALISED_ACD_SOURCE, [
    ['slope', FACTOR_PER_ACD],
    ['offset', -FACTOR_AT_ZERO_ACD, 'mm'],
  ]),
  relation('haigis-start-from-a', 'Haigis start values from the A-constant', HAIGIS_SOURCE, [
    ['a1', PER_CHAMBER_DEPTH],
    ['a2', PER_AXIAL_LENGTH],
    ['mean anterior chamber depth', MEAN_CHAMBER_DEPTH, 'mm'],
    ['mean axial length', MEAN_AXIAL_LENGTH, 'mm'],
  ]),
]
