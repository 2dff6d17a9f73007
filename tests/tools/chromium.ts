import { existsSync } from 'node:fs'
import { type Browser, chromium } from 'playwright-core'

const CANDIDATES = [process.env['CHROMIUM'], '/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome']

/** Path of the browser the page is tested in, or undefined when there is none. In CI its absence is a failure. */
export function chromiumPath(): string | undefined {
  const found = CANDIDATES.find((path) => path !== undefined && existsSync(path))
  if (found === undefined) {
    const words = 'No Chromium: install it (apt-get install chromium) or set CHROMIUM to its path.'
    if (process.env['CI']) throw new Error(words)
    console.warn(`SKIPPED, page tests: ${words}`)
  }
  return found
}

export const launchChromium = (executablePath: string): Promise<Browser> =>
  chromium.launch({
    executablePath,
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  })
