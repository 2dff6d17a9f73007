import type { Names } from './ports.js'

/**
 * Words for references: short, easy to say over a telephone, of landscape and harbour, and none a word of the trade,
 * of a person or of a disease, so that a reference can say nothing about a patient.
 */
export const REFERENCE_WORDS: readonly string[] =
  `ALCOVE ANCHOR ARBOUR BARGE BEACON BRIDGE BUOY CANAL CAPE CAUSEWAY CAVERN COMPASS COPSE COVE CRAG CREEK CURRENT DELTA
  DINGHY DOCK DOWNS DUNE EDDY ESTUARY FATHOM FELL FERRY FIRTH FJORD FOREST GLADE GORGE GRANITE GROTTO GROVE GULF HARBOUR
  HARVEST HAVEN HEDGE HOLLOW INLET ISLE ISTHMUS JETTY KEEL KNOLL LAGOON LAKE LANTERN LEDGE LEEWARD LOCH LOCK MARSH MEADOW
  MEANDER MESA MOOR MOORING MORAINE OASIS OCEAN ORCHARD PASTURE PEAK PEBBLE PENINSULA PIER PLAIN POND PRAIRIE QUARRY QUAY
  RAPIDS RAVINE REEF RIDGE SANDBAR SHALE SHINGLE SHOAL SHORE SKERRY SLATE SLIPWAY SOUND SPIT SPRING STRAIT STREAM SUMMIT
  SURF TARN TERRACE THICKET TIDE TOWPATH TUNDRA VALLEY VOYAGE WHARF WINDMILL WOODLAND`
    .trim()
    .split(/\s+/)

// Small numbers while the trail is young, so that a reference stays easy to say; more digits only where those are taken.
const NUMBERS_UP_TO = [99, 999, 9999]
const TRIES = 8

/**
 * @param below a random whole number from 0 up to, not including, its argument
 * @param draftId a fresh id that cannot be guessed
 */
export function namesFrom(below: (limit: number) => number, draftId: () => string): Names {
  return {
    draftId,
    async consultRef(taken) {
      for (const upTo of NUMBERS_UP_TO) {
        for (let tries = 0; tries < TRIES; tries += 1) {
          const ref = `${REFERENCE_WORDS[below(REFERENCE_WORDS.length)]}-${1 + below(upTo)}`
          if (!(await taken(ref))) return ref
        }
      }
      throw new Error('No free reference was found: the trail has used up nearly all of them')
    },
  }
}
