/** The list that a sealed packet keeps of the names by which its files were received. */
import canonicalize from 'canonicalize'

export interface NamedFile {
  /** In the bag: `data/…`. */
  path: string
  /** As received. */
  original: string
}

/** Where the list stands in the bag. */
export const namesFile = 'original-names.json'

const compare = (one: string, other: string): number => (one < other ? -1 : one > other ? 1 : 0)

/** original-names.json: one entry a line, sorted by path in the bag; keys and values as RFC 8785 writes them. */
export function writeNames(files: readonly NamedFile[]): string {
  const entries = files
    .toSorted((one, other) => compare(one.path, other.path))
    .map(({ path, original }) => `${canonicalize(path)}:${canonicalize(original)}`)
  return `{\n${entries.join(',\n')}\n}\n`
}

/** The original name by path in the bag. Throws RangeError for text that `writeNames` did not write. */
export function readNames(text: string): Map<string, string> {
  const names = parseObject(text)
  const files = Object.entries(names).map(([path, original]) => ({ path, original }))
  if (writeNames(files) !== text) throw new RangeError('original-names.json is not as it was written')
  if (new Set(files.map(({ original }) => original)).size !== files.length)
    throw new RangeError('original-names.json gives one name to two files')
  return new Map(Object.entries(names))
}

function parseObject(text: string): Record<string, string> {
  let value: unknown
  try {
    value = JSON.parse(text)
  } catch (error) {
    throw new RangeError('original-names.json is no JSON', { cause: error })
  }
  if (
    typeof value !== 'object' ||
    value === null ||
    Array.isArray(value) ||
    !Object.values(value).every((one) => typeof one === 'string')
  )
    throw new RangeError('original-names.json is no list of names')
  return value as Record<string, string>
}
