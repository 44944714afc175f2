/** The rulebook and the vocabulary that a command works with: those that ship, and what the user names. */
import { readFile } from 'node:fs/promises'
import {
  checks,
  compileVocabulary,
  formatFaults,
  parseRulebook,
  parseVocabularyPage,
  type Rulebook,
  type Vocabulary,
} from '../src/index.ts'
import { readGeneralRulebook, readShippedVocabulary } from '../src/io/shipped.ts'
import { UserError } from './user-error.ts'

/** The general rulebook, or the one in `path`, which may extend it. Throws UserError with every fault of the file. */
export async function loadRulebook(path: string | undefined): Promise<Rulebook> {
  const general = parse(await readGeneralRulebook(), 'the general rulebook', [])
  if (path === undefined) return general
  return parse(await readNamedFile(path, 'rulebook'), path, [general])
}

function parse(bytes: Uint8Array, name: string, bases: readonly Rulebook[]): Rulebook {
  const { rulebook, faults } = parseRulebook(bytes, checks, bases)
  if (rulebook) return rulebook
  throw new UserError(
    `the rulebook ${name} cannot be used:\n${formatFaults(faults)}`,
    name,
    'Correct the lines named. "witnessmark rules NAME" shows what a check can say and the values it uses.',
  )
}

/** The shipped vocabulary, with the phrases of the page in `path` added. */
export async function loadVocabulary(path: string | undefined): Promise<Vocabulary> {
  const shipped = parseVocabularyPage(await readShippedVocabulary(), 'the shipped vocabulary')
  if (path === undefined) return compileVocabulary([shipped])
  const text = new TextDecoder().decode(await readNamedFile(path, 'vocabulary'))
  return compileVocabulary([shipped, parseVocabularyPage(text, path)])
}

async function readNamedFile(path: string, what: string): Promise<Uint8Array> {
  try {
    return await readFile(path)
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException
    const reason = code === 'ENOENT' ? 'does not exist' : code === 'EISDIR' ? 'is a folder' : `cannot be read (${code})`
    throw new UserError(`the ${what} ${path} ${reason}`, path, `Name a ${what} file that you may read.`)
  }
}
