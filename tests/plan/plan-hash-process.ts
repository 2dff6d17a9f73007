import { loadRuleSet } from '../../adapters/rules-folder.js'
import { contentHash } from '../../src/plan/content-hash.js'
import { makePlan } from '../../src/plan/make-plan.js'
import { longBrownEye } from './a-case.js'

/** Prints the hash of one plan, for a test that compares it with the hash made in its own process. */
const outcome = await loadRuleSet('rules')
if (outcome.kind === 'faults') throw new Error('the shipped rules do not load')
const plan = await makePlan(longBrownEye(), { soundings: '0.0.0', ruleSet: outcome.ruleSet, monteCarlo: true })
process.stdout.write(contentHash(plan))
