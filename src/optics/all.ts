import type { PublishedModel } from '../terms/published-model.js'
import { errorSourceModel } from './error-sources.js'
import { COEFFICIENTS } from './formulas.js'
import { posteriorCorneaModels } from './posterior-cornea.js'

/** Every published model of this room with its numbers, sources and how sure each is. */
export const OPTICS_MODELS: readonly PublishedModel[] = [...COEFFICIENTS, ...posteriorCorneaModels, errorSourceModel]
