/** The browser that pages are tried in: Chromium as the machine has it. */
import { existsSync } from 'node:fs'
import { type Browser, chromium } from 'playwright-core'

/** Path of Chromium: what CHROMIUM names, else where Debian puts it; null where there is none. */
export function findChromium(environment: Readonly<Record<string, string | undefined>> = process.env): string | null {
  const path = environment.CHROMIUM || '/usr/bin/chromium'
  return existsSync(path) ? path : null
}

/** Starts it. Throws where there is none, and says how to get it. */
export async function launchChromium(): Promise<Browser> {
  const executablePath = findChromium()
  if (executablePath === null) throw new Error('Install Chromium, or name one in the variable CHROMIUM.')
  return chromium.launch({ executablePath, args: ['--no-sandbox'] })
}
