import type { OutsideDomain } from '../terms/outcome.js'
import type { PublishedModel } from '../terms/published-model.js'
import type { RiskStatement } from '../terms/risk-statement.js'

type Said = Pick<RiskStatement, 'words'> & Partial<Omit<RiskStatement, 'id' | 'about' | 'model' | 'population' | 'years'>>

/** A statement of this model: who it was fitted on and its source are taken from the model, lists not given are empty. */
export function statementOf(model: PublishedModel, said: Said): RiskStatement {
  return {
    id: model.id,
    about: model.about,
    model: model.model,
    population: model.population,
    years: model.years,
    recalibrated: [],
    otherSurgeons: [],
    factorsUsed: [],
    factorsUnstated: [],
    caveats: [],
    source: model.source,
    ...said,
  }
}

/** What a model says of an input it does not hold for: the reason, and no number. */
export const refusedStatement = (model: PublishedModel, outside: OutsideDomain): RiskStatement =>
  statementOf(model, { words: `${model.about}: no figure by the ${model.model}. ${outside.reason}.` })
