/**
 * Lists of digests that lie among the files of a packet that is no bag: what checksum programs write (GNU coreutils, BSD,
 * a table of algorithm, hash and path), the file of one digest beside the file that it is of, and any CSV, JSON, YAML or
 * XML that has names beside digests.
 */
import type { DigestName } from '../certificates/algorithms.ts'

export interface DigestList {
  /** Path of the list in the packet. */
  file: string
  /** It is nothing but a list of digests; else it is a file of some other kind that has digests beside names. */
  pure: boolean
  entries: readonly ListedDigest[]
}

export interface ListedDigest {
  /** As the list has it; empty where a digest stands without a name. */
  name: string
  /** The file of the packet that it names; null where it names none, or several. */
  path: string | null
  algorithm: DigestName
  /** Lower-case hexadecimal. */
  digest: string
}

/** By the number of hexadecimal digits. Other digests of the same lengths are seldom, and are told by their names. */
const algorithms: ReadonlyMap<number, DigestName> = new Map([
  [32, 'md5'],
  [40, 'sha-1'],
  [64, 'sha-256'],
  [96, 'sha-384'],
  [128, 'sha-512'],
])

const unread = /blake|b2sum|sha-?3[-_ (]|sha-?512[/_-]2|keccak|ripemd|whirlpool|\bsm3\b/i
/** Exactly so many digits and no more. */
const hex =
  '(?<![0-9A-Za-z])(?:[0-9a-fA-F]{128}|[0-9a-fA-F]{96}|[0-9a-fA-F]{64}|[0-9a-fA-F]{40}|[0-9a-fA-F]{32})(?![0-9A-Za-z])'
const anyHex = new RegExp(hex)

/** The lists among the texts of a packet; `paths` are all its files. A text that names no file of the packet is no list. */
export function findDigestLists(
  texts: readonly { file: string; text: string }[],
  paths: readonly string[],
): DigestList[] {
  return texts.flatMap(({ file, text }) => {
    if (!anyHex.test(text) || unread.test(text.slice(0, 100_000)) || unread.test(file)) return []
    const resolve = makeResolver(file, paths)
    const pure = readLines(file, text)
    const entries = (pure ?? readCells(text, resolve)).map((one) => ({ ...one, path: resolve(one.name) }))
    return entries.some(({ path }) => path !== null) ? [{ file, pure: pure !== null, entries }] : []
  })
}

type Named = Omit<ListedDigest, 'path'>

const takeDigest = (name: string, digits: string): Named[] => {
  const algorithm = algorithms.get(digits.length)
  return algorithm === undefined ? [] : [{ name, algorithm, digest: digits.toLowerCase() }]
}

/** What a line of a checksum program can be. */
const lineForms = [
  // GNU coreutils; a backslash in front tells that the name is escaped.
  new RegExp(`^(?<escaped>\\\\)?(?<digest>${hex})[ \\t]+\\*?(?<name>\\S.*)$`),
  // BSD, and coreutils with --tag.
  new RegExp(`^(?<escaped>\\\\)?(?:MD5|SHA-?\\d+|SHA2-\\d+) ?\\((?<name>.+)\\) ?= ?(?<digest>${hex})$`, 'i'),
  // A table of algorithm, hash and path.
  new RegExp(`^(?:MD5|SHA-?\\d+)[ \\t]+(?<digest>${hex})[ \\t]+(?<name>\\S.*)$`, 'i'),
]

const isIdle = (line: string): boolean => line === '' || /^[#;]|^[-=\s]+$|^algorithm\s+hash\s+path$/i.test(line)

/** Null where any line is of another kind. */
function readLines(file: string, text: string): Named[] | null {
  const lines = text
    .replace(/^\ufeff/, '')
    .split(/\r\n|\r|\n/)
    .map((line) => line.trim())
    .filter((line) => !isIdle(line))
  const [only = ''] = lines
  const own = /^(.+)\.(?:md5|sha-?\d+)(?:sum)?(?:\.txt)?$/i.exec(file.slice(file.lastIndexOf('/') + 1))?.[1]
  if (lines.length === 1 && own !== undefined && new RegExp(`^${hex}$`).test(only)) return takeDigest(own, only)
  const read: Named[] = []
  for (const line of lines) {
    const found = lineForms.map((form) => form.exec(line)?.groups).find((groups) => groups !== undefined)
    if (found === undefined) return null
    const { name = '', digest = '', escaped } = found
    read.push(...takeDigest(escaped === undefined ? name : undoEscapes(name), digest))
  }
  return read.length === 0 ? null : read
}

const undoEscapes = (name: string): string =>
  name.replaceAll(/\\(.)/g, (_, letter: string) => ({ n: '\n', r: '\r' })[letter] ?? letter)

/** Where values end in CSV, JSON, YAML and XML. */
const cellEnds = /[<>"',;|\t\r\n{}[\]=]|: +/
const digestCell = new RegExp(`^(?:(?:md5|sha-?\\d+):)?(${hex})$`, 'i')

/**
 * Names and digests in their order. Whichever comes first leads: the digests after a name are its own, or the name after
 * digests is theirs. A digest of an algorithm that the file has one of already is of a file that could not be told.
 */
function readCells(text: string, resolve: (name: string) => string | null): Named[] {
  const cells = text
    .replaceAll('\\/', '/')
    .split(cellEnds)
    .map((cell) => cell.trim())
    .flatMap((cell): ({ digest: string } | { name: string })[] => {
      const digest = digestCell.exec(cell)?.[1]
      if (digest !== undefined) return [{ digest }]
      return resolve(cell) === null ? [] : [{ name: cell }]
    })
  const namesLead = cells[0] !== undefined && 'name' in cells[0]
  const ordered = namesLead ? cells : cells.toReversed()
  const read: Named[] = []
  let name = ''
  const had = new Set<string>()
  for (const cell of ordered) {
    if ('name' in cell) {
      if (resolve(cell.name) !== (name === '' ? null : resolve(name))) had.clear()
      name = cell.name
      continue
    }
    const [taken] = takeDigest(name, cell.digest)
    if (taken === undefined) continue
    read.push(had.has(taken.algorithm) ? { ...taken, name: '' } : taken)
    had.add(taken.algorithm)
  }
  return read
}

/** From a name in the list to a file: beside the list, from the root of the packet, or the only one of that name. */
function makeResolver(list: string, paths: readonly string[]): (name: string) => string | null {
  const known = new Set(paths.filter((path) => path !== list))
  const byBase = Map.groupBy(known, baseOf)
  const folder = list.slice(0, list.lastIndexOf('/') + 1)
  return (name) => {
    const path = name.normalize('NFC').replaceAll('\\', '/').replace(/^\.\//, '')
    if (known.has(folder + path)) return folder + path
    if (known.has(path)) return path
    const [only, ...others] = byBase.get(baseOf(path)) ?? []
    // A list that tells of folders, and of others than the packet's, was made where the files lay before.
    return only !== undefined && others.length === 0 ? only : null
  }
}

const baseOf = (path: string): string => path.slice(path.lastIndexOf('/') + 1)
