/** The data that ship with the program: the vocabulary and the rulebooks, as bytes. They stand beside the code that reads them. */
import { readFile } from 'node:fs/promises'

/** The shipped vocabulary, YAML. */
export function readShippedVocabulary(): Promise<string> {
  return readFile(new URL('../facts/vocabulary.yaml', import.meta.url), 'utf8')
}

/** The rulebook that is used when none is named. */
export function readGeneralRulebook(): Promise<Uint8Array> {
  return readFile(new URL('../rulebook/general.yaml', import.meta.url))
}
