/** The data that ship with the program: the vocabulary and the rulebooks, as bytes. They stand beside the code that reads them. */
import { readFile } from 'node:fs/promises'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'

/** The shipped vocabulary, YAML. */
export function readShippedVocabulary(): Promise<string> {
  return readFile(new URL('../facts/vocabulary.yaml', import.meta.url), 'utf8')
}

/**
 * The rulebooks that ship: `general`, and over it one for whoever releases a vehicle, pays for it, or keeps its records. Each
 * extends `general` alone.
 */
export const desks = ['general', 'delivery', 'claim', 'hold'] as const
export type Desk = (typeof desks)[number]

/** A rulebook that ships, YAML. */
export function readShippedRulebook(desk: Desk = 'general'): Promise<Uint8Array> {
  return readFile(new URL(`../rulebook/${desk}.yaml`, import.meta.url))
}

/** The letters of the PDF report: DejaVu Sans Condensed, whose licence lets it be embedded and passed on. TrueType. */
export async function readReportFonts(): Promise<{ regular: Uint8Array; bold: Uint8Array }> {
  const home = dirname(createRequire(import.meta.url).resolve('dejavu-fonts-ttf/package.json'))
  const [regular, bold] = await Promise.all(
    ['DejaVuSansCondensed.ttf', 'DejaVuSansCondensed-Bold.ttf'].map((name) => readFile(join(home, 'ttf', name))),
  )
  return { regular: regular as Uint8Array, bold: bold as Uint8Array }
}
