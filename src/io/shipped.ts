/** The data that ship with the program: the vocabulary and the rulebooks, as bytes. They stand beside the code that reads them. */
import { readFile } from 'node:fs/promises'

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
