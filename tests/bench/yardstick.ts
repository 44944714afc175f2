/** The yardstick: what plain programs of any Linux machine take to read the words of the same files and to hash them. */
import { execFileSync, spawnSync } from 'node:child_process'

/** Throws when a program that the yardstick is made of is missing, and says how to get it. */
export function requireYardstick(): void {
  for (const [program, source] of [
    ['pdftotext', 'poppler-utils (Debian: apt-get install poppler-utils)'],
    ['sha256sum', 'coreutils (Debian: apt-get install coreutils)'],
  ] as const) {
    if (spawnSync(program, ['-v'], { stdio: 'ignore' }).error !== undefined)
      throw new Error(`${program} is not installed, and without it there is nothing to measure by. It is in ${source}.`)
  }
}

/** Whether the yardstick reads this PDF at all: locked and damaged ones are nothing to compare by. */
export function canMeasure(pdf: string): boolean {
  return spawnSync('pdftotext', ['-bbox', pdf, '-'], { stdio: 'ignore' }).status === 0
}

/** `pdftotext -bbox` over every PDF, one process a file, and one `sha256sum` over all `files`. */
export function runYardstick(pdfs: readonly string[], files: readonly string[]): void {
  for (const pdf of pdfs) execFileSync('pdftotext', ['-bbox', pdf, '-'], { stdio: ['ignore', 'pipe', 'ignore'] })
  execFileSync('sha256sum', ['--', ...files], { stdio: ['ignore', 'pipe', 'ignore'] })
}
