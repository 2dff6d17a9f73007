/** A plain reader of RFC 4180 (2005), section 2, written from its grammar for the tests: records of cells. */
export function parsedCsv(text: string): readonly (readonly string[])[] {
  const records: string[][] = []
  let place = 0
  while (place < text.length) {
    const record: string[] = []
    for (;;) {
      let cell = ''
      if (text[place] === '"') {
        for (place += 1; ; place += 1) {
          if (place >= text.length) throw new Error('a quoted cell is not closed')
          if (text[place] !== '"') cell += text[place]
          else if (text[place + 1] === '"') {
            cell += '"'
            place += 1
          } else break
        }
        place += 1
      } else {
        for (; place < text.length && text[place] !== ',' && text[place] !== '\r'; place += 1) {
          if (text[place] === '"' || text[place] === '\n') throw new Error('a cell that needs quotes has none')
          cell += text[place]
        }
      }
      record.push(cell)
      if (text[place] !== ',') break
      place += 1
    }
    if (text.slice(place, place + 2) !== '\r\n') throw new Error('a record does not end with CR LF')
    place += 2
    records.push(record)
  }
  return records
}
