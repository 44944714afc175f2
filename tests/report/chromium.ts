/** The browser that pages are tried in: Chromium as the machine has it. */
import { existsSync } from 'node:fs'

/** Path of Chromium: what CHROMIUM names, else where Debian puts it; null where there is none. */
export function findChromium(environment: Readonly<Record<string, string | undefined>> = process.env): string | null {
  const path = environment.CHROMIUM || '/usr/bin/chromium'
  return existsSync(path) ? path : null
}
