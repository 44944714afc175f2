/** The vocabulary that ships, compiled once for the tests of the recognisers. */
import { readFileSync } from 'node:fs'
import { compileVocabulary, parseVocabularyPage } from '../../src/facts/vocabulary.ts'

const text = readFileSync(new URL('../../src/facts/vocabulary.yaml', import.meta.url), 'utf8')

export const vocabulary = compileVocabulary([parseVocabularyPage(text, 'vocabulary.yaml')])
