import { complicationWords, type Outcome } from '../consult/outcome.js'
import type { Eye } from '../terms/eye.js'
import * as codes from './fhir-codes.js'
import {
  type About,
  ACUITY,
  EQUIVALENT,
  type Observed,
  observed,
  PRESSURE,
  part,
  REFRACTION,
  sidedOrOwn,
} from './fhir-observations.js'

const { quantity } = codes

/** What an outcome tells; "none" only where somebody said that nothing went wrong. */
export function outcomeObservations(outcome: Outcome, eye: Eye | undefined): readonly Observed[] {
  const about = (name: string, words: string, code?: object): About => ({ name, words, eye, ...(code ? { code } : {}) })
  const { lens, refractionD, acuity, complications, conversion, endothelialCellsPerMm2: cells, pressureMmHg } = outcome
  const density = sidedOrOwn(codes.CELL_DENSITY, eye, 'cell-density', 'Endothelial cell density')
  return [
    ...(lens
      ? [observed(about('lens-implanted', 'Power of the lens implanted'), { valueQuantity: codes.dioptresOf(lens.powerD) })]
      : []),
    ...(refractionD === undefined
      ? []
      : [
          observed(about('refraction-after', 'Refraction after surgery', REFRACTION), {
            component: [part(EQUIVALENT, { valueQuantity: codes.dioptresOf(refractionD) })],
          }),
        ]),
    ...(acuity === undefined ? [] : [observed(about('acuity-after', 'Acuity after surgery', ACUITY), { valueString: acuity })]),
    ...(complications === undefined
      ? []
      : [
          observed(about('complications', 'Complications'), {
            valueString: complications.length === 0 ? 'none' : complications.map(complicationWords).join('; '),
          }),
        ]),
    ...(conversion === undefined ? [] : [observed(about('conversion', 'Converted to'), { valueString: conversion })]),
    ...(cells === undefined
      ? []
      : [
          observed(about('cell-density-after', 'Cell density after surgery', density), {
            valueQuantity: quantity(cells, '/mm2'),
          }),
        ]),
    ...(pressureMmHg === undefined
      ? []
      : [
          observed(about('pressure-after', 'Pressure after surgery', PRESSURE), {
            valueQuantity: quantity(pressureMmHg, 'mm[Hg]'),
          }),
        ]),
  ]
}
