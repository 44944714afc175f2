import { readFileSync } from 'node:fs'
import { checks } from '../src/checks/index.ts'
import { compileVocabulary, parseVocabularyPage } from '../src/facts/vocabulary.ts'
import { fileSystem } from '../src/io/files.ts'
import { startReading } from '../src/io/reading-process.ts'
import { readGeneralRulebook, readShippedVocabulary } from '../src/io/shipped.ts'
import { checkPacket, readDocument } from '../src/review.ts'
import { parseRulebook, formatFaults } from '../src/rulebook/parse.ts'
void readFileSync
const [command, path] = process.argv.slice(2)
const asOf = process.argv[process.argv.indexOf('--as-of') + 1] ?? '2026-11-25'
const pool = startReading()
const vocabulary = compileVocabulary([parseVocabularyPage(await readShippedVocabulary(), 'vocabulary.yaml')])
const outside = { storage: fileSystem, read: pool.read }
if (command === 'read') console.log(JSON.stringify(await readDocument(path!, outside, vocabulary), null, 1))
else {
  const book = parseRulebook(await readGeneralRulebook(), checks)
  if (!book.rulebook) throw new Error(formatFaults(book.faults))
  console.log(JSON.stringify(await checkPacket(path!, outside, { vocabulary, reviewed: asOf, rulebook: book.rulebook })))
}
await pool.close()
