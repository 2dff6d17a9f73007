/** Half of a surrogate pair: no database keeps one, and a hash over it would not fit what comes back. */
const LONE = /[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g

export const wellFormed = (text: string): string => text.replace(LONE, '\ufffd')
