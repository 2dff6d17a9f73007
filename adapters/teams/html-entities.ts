const ENTITY = /&(?:#(\d{1,7})|#x([0-9a-f]{1,6})|([a-z][a-z0-9]{1,8}));/gi

/** Names that Teams and pasted sheets are seen to use; others stay as they are. */
const NAMED: Readonly<Record<string, string>> = {
  amp: '&',
  lt: '<',
  gt: '>',
  quot: '"',
  apos: "'",
  nbsp: '\u00a0',
  plus: '+',
  minus: '\u2212',
  plusmn: '±',
  ndash: '–',
  mdash: '—',
  times: '×',
  divide: '÷',
  deg: '°',
  micro: 'µ',
  middot: '·',
  bull: '•',
  hellip: '…',
  le: '≤',
  ge: '≥',
  frac12: '½',
  frac14: '¼',
  frac34: '¾',
  sup2: '²',
  sup3: '³',
  lsquo: '‘',
  rsquo: '’',
  ldquo: '“',
  rdquo: '”',
}

/** Each entity once: what decodes to another entity stays as it then reads. A sign such as `&#43;` is never lost. */
export function decoded(text: string): string {
  return text.replace(ENTITY, (whole, decimal?: string, hexadecimal?: string, name?: string) => {
    if (name !== undefined) return NAMED[name.toLowerCase()] ?? whole
    const code = decimal === undefined ? Number.parseInt(hexadecimal ?? '', 16) : Number(decimal)
    return code === 0 || code > 0x10ffff || (code >= 0xd800 && code <= 0xdfff) ? whole : String.fromCodePoint(code)
  })
}
