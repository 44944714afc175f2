/** The rulebook and the vocabulary that a command works with: those that ship, and what the user names. */
import { createHash } from 'node:crypto'
import { readFile } from 'node:fs/promises'
import {
  checks,
  compileVocabulary,
  findNearestName,
  formatFaults,
  parseRulebook,
  parseVocabularyPage,
  type Rulebook,
  type RulebookIdentity,
  type Vocabulary,
} from '../src/index.ts'
import { type Desk, desks, readShippedRulebook, readShippedVocabulary } from '../src/io/shipped.ts'
import type { OptionDeclaration } from './arguments.ts'
import { UserError } from './user-error.ts'

/**
 * The shipped rulebook of a desk (`general` when none is named), or the one in the file `rulebook`, which may extend any of
 * them. Throws UserError for a desk that is none, for both at once, and with every fault of the file.
 */
export async function loadRulebook({ for: desk, rulebook: path }: RulebookChoice = {}): Promise<Rulebook> {
  if (desk !== undefined && path !== undefined)
    throw new UserError(
      '--for and --rulebook are given together',
      null,
      `Give one. A rulebook of your own may say "extends: ${desk}".`,
    )
  const name = desk ?? 'general'
  if (!isDesk(name)) throw unknownDesk(name)
  const general = parse(await readShippedRulebook('general'), 'the general rulebook', [])
  const readDesk = async (each: Desk) => parse(await readShippedRulebook(each), `the ${each} rulebook`, [general])
  if (path === undefined) return name === 'general' ? general : readDesk(name)
  const others = await Promise.all(desks.filter((each) => each !== 'general').map(readDesk))
  return parse(await readNamedFile(path, 'rulebook'), path, [general, ...others])
}

export interface RulebookFile {
  name: string
  bytes: Uint8Array
}

/**
 * The bytes of a rulebook by which a packet was weighed, and of all that it extends: the most particular first. `missing`
 * is thrown for one that neither ships nor stands in the file that was named.
 */
export async function readRulebookFiles(
  rulebook: RulebookIdentity,
  { rulebook: path }: RulebookChoice,
  missing: (name: string) => Error = (name) =>
    new UserError(`the rulebook ${name} changed while it was used`, path ?? null, 'Run it again.'),
): Promise<RulebookFile[]> {
  const own = path === undefined ? [] : [await readNamedFile(path, 'rulebook')]
  const candidates = [...own, ...(await Promise.all(desks.map(readShippedRulebook)))]
  const files: RulebookFile[] = []
  for (let one: RulebookIdentity | undefined = rulebook; one !== undefined; one = one.extends) {
    const { sha256, name } = one
    const bytes = candidates.find((each) => createHash('sha256').update(each).digest('hex') === sha256)
    if (bytes === undefined) throw missing(name)
    files.push({ name, bytes })
  }
  return files
}

export interface RulebookChoice {
  for?: string
  rulebook?: string
}

const isDesk = (name: string): name is Desk => desks.some((desk) => desk === name)

function unknownDesk(name: string): UserError {
  const nearest = findNearestName(name, desks)
  const mend = nearest === null ? `Desks are ${desks.join(', ')}.` : `Did you mean --for ${nearest}?`
  return new UserError(`there is no rulebook for "${name}"`, null, mend)
}

/** The options that choose a rulebook, for every command that weighs. */
export const rulebookOptions: Record<string, OptionDeclaration> = {
  for: {
    type: 'string',
    value: 'DESK',
    help: 'Weigh for delivery, claim or hold; by the general rulebook when left out.',
  },
  rulebook: {
    type: 'string',
    value: 'FILE',
    help: 'Weigh by the rules in FILE (YAML), which may extend one of those.',
  },
}

/** The same where a command weighs nothing, but takes something from a rulebook; `file` says more of one's own. */
export const rulebookOptionsFor = (what: string, file = ''): Record<string, OptionDeclaration> => ({
  for: {
    type: 'string',
    value: 'DESK',
    help: `Take ${what} from the rulebook for delivery, claim or hold; from the general one when left out.`,
  },
  rulebook: { type: 'string', value: 'FILE', help: `Take ${what} from the rulebook in FILE (YAML)${file}.` },
})

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

/** The bytes of a file that the user names. Throws UserError. */
export async function readNamedFile(path: string, what: string): Promise<Uint8Array> {
  try {
    return await readFile(path)
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException
    const reason = code === 'ENOENT' ? 'does not exist' : code === 'EISDIR' ? 'is a folder' : `cannot be read (${code})`
    throw new UserError(`the ${what} ${path} ${reason}`, path, `Name a ${what} file that you may read.`)
  }
}
