import { readFile } from 'node:fs/promises'
import { type OperationsFile, readOperations } from '../src/learning/operations-file.js'

/** All operations of the unit, from a CSV file; what is wrong names the line, never the file. */
export async function readOperationsFile(file: string): Promise<OperationsFile> {
  let text: string
  try {
    text = await readFile(file, 'utf8')
  } catch {
    return { faults: ['cannot be read; name a CSV file with the columns date and rupture'] }
  }
  return readOperations(text)
}
