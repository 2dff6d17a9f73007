import type { Plan } from '../src/plan/plan.js'
import { recomputePlans } from '../src/trail/recompute.js'
import type { TrailReading } from '../src/trail/trail-store.js'
import type { Terminal } from './plan-command.js'

/**
 * `soundings verify --recompute`: makes again each past plan of the present versions and says where one comes out otherwise.
 * @returns 1 where one does
 */
export async function recomputeCommand(
  trail: Pick<TrailReading, 'links' | 'plan'>,
  recompute: (known: Plan['case']) => Promise<Plan>,
  { out, err }: Pick<Terminal, 'out' | 'err'>,
): Promise<0 | 1> {
  const { compared, otherVersions, differing } = await recomputePlans(trail, recompute)
  out(
    `${compared} plans of the present versions made again: ${differing.length === 0 ? 'the same to the bit' : `${differing.length} DIFFER`}; ` +
      `${otherVersions} of other versions, which are read as they were and cannot be made again here\n`,
  )
  for (const { position, ref, where } of differing) err(`plan of event ${position} (${ref}): ${where.join('; ')}\n`)
  if (differing.length === 0) return 0
  const node = process.versions.node.split('.')[0]
  err(
    `What was shown is what is stored. This is Node ${node}: numbers may end in another digit under another major version of Node.\n`,
  )
  return 1
}
