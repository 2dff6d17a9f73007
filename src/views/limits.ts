/**
 * What each platform takes, named once. "documented" stands in the platform's own reference;
 * "observed" is what it was seen to refuse, where the reference says less.
 */
export const SLACK = {
  /** Documented (Block Kit, blocks). */
  blocksPerMessage: 50,
  /**
   * Observed: `msg_blocks_too_long` from about 13,200 characters of blocks, containers counted in
   * (github.com/slackapi/bolt-js issues 2509 and 2867). Measured here as JSON, which is never less.
   */
  charactersPerMessage: 12_000,
  /** Documented (`text` of chat.postMessage: recommended). */
  fallbackText: 4_000,
  /** Documented (text object). */
  textObject: 3_000,
  /** Documented (header block). */
  header: 150,
  /** Documented (context block). */
  contextElements: 10,
  /** Documented (actions block takes 25); five is what a phone shows in one look. */
  buttonsPerRow: 5,
  /** Documented (button). */
  buttonText: 75,
  buttonValue: 2_000,
  /** Documented (every block and element). */
  identifier: 255,
  /** Documented (image block). */
  imageAlternative: 2_000,
  /** Documented (views). */
  blocksPerModal: 100,
  blocksPerHome: 100,
  /** Documented (title, submit and close of a modal). */
  modalTitle: 24,
  privateMetadata: 3_000,
  /** Documented (plain text input). */
  inputText: 3_000,
  /** Documented (option of a choice: its text and its description). */
  optionText: 75,
  /** Documented for checkboxes and radio buttons; a menu takes a hundred. */
  optionsShown: 10,
  optionsInMenu: 100,
  /** Ours: answers of which one is taken are all shown up to here; more make a menu. */
  optionsAtOnce: 5,
  /** Ours: a piece of text is broken at a sentence or word before it grows past this. */
  piece: 2_000,
  /** Ours: columns of preformatted text that fit a phone held upright. */
  tableColumns: 36,
} as const

export const TEAMS = {
  /**
   * Documented limits differ between pages (28 KB for webhooks, 100 KB in UTF-16 for bots): the smallest holds everywhere.
   * What is left up to 28 KB is for the envelope around the card.
   */
  bytesPerCard: 24_000,
  /** The same smallest limit for a whole message, less what the library adds to it. */
  bytesPerMessage: 28_000,
  /** Elements that mobile clients draw reliably; newer ones have blanked the whole card there (observed). */
  schemaVersion: '1.4',
  /** The reference renderer drops further actions silently (observed). */
  actionsPerCard: 5,
  /** Ours: a piece of text is broken at a sentence or word before it grows past this. */
  piece: 2_500,
  /** Ours: facts in one set, so that a set always fits into a card. */
  factsPerSet: 12,
  /** Ours: answers of which one is taken are all shown up to here; more make a menu. */
  optionsAtOnce: 5,
} as const
