import { randomBytes, randomInt } from 'node:crypto'
import type { Names } from '../src/desk/ports.js'

/** Words of the coast: easy to say on a telephone, and nothing to do with any patient. */
const WORDS = [
  'ANCHOR', 'BEACON', 'BIRCH', 'BRINE', 'BUOY', 'CEDAR', 'CHALK', 'CLIFF', 'COAST', 'CORAL', 'COVE', 'CREEK', 'DELTA', 'DUNE',
  'EBB', 'FERN', 'FERRY', 'FJORD', 'FLINT', 'FORD', 'GANNET', 'GRAVEL', 'GULL', 'HARBOUR', 'HAZEL', 'HEATH', 'HERON', 'INLET',
  'JETTY', 'KELP', 'KNOT', 'LAGOON', 'LARCH', 'LEDGE', 'LOCH', 'MARSH', 'MEADOW', 'MOOR', 'OSPREY', 'PEBBLE', 'PIER', 'PINE',
  'PLOVER', 'QUAY', 'RAFT', 'REED', 'REEF', 'RIDGE', 'ROWAN', 'SALT', 'SAND', 'SEDGE', 'SHALE', 'SHOAL', 'SLATE', 'SPRUCE',
  'STONE', 'TARN', 'TERN', 'TIDE', 'WHARF', 'WILLOW',
] as const // biome-ignore format: a list of words

const FIRST_RANGE = 100

/** Names from the machine's own randomness. The number grows with the tries, so that a full trail still finds a free one. */
export const randomNames: Names = {
  draftId: () => randomBytes(9).toString('base64url'),

  async consultRef(taken) {
    for (let range = FIRST_RANGE; ; range *= 2) {
      const ref = `${WORDS[randomInt(WORDS.length)]}-${randomInt(1, range)}`
      if (!(await taken(ref))) return ref
    }
  },
}
