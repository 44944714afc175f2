/**
 * Names of payload files that every file system and checksum tool takes as they are. `sha256sum -c` does not undo the
 * escapes of RFC 8493, so files are renamed, and their own names written down beside.
 */
import canonicalize from 'canonicalize'

export interface NamedFile {
  /** In the bag: `data/…`. */
  path: string
  /** As received. */
  original: string
}

/** Where the names that the files were received by are written down. */
export const namesFile = 'original-names.json'

/** Device names of Windows (CON, PRN, …), with any extension. */
const reserved = /^(con|prn|aux|nul|com\d|lpt\d)(\.|$)/i

const longestStep = 100

/** A path in the bag for each path as received: the same for the same list, and no two alike but for case. */
export function nameFiles(originals: readonly string[]): NamedFile[] {
  // A file must not take the name that a folder needs.
  const taken = new Set(originals.flatMap((original) => listFolders(cleanSteps(original))))
  return originals.toSorted(compare).map((original) => {
    const steps = cleanSteps(original)
    const last = steps.at(-1) as string
    const folder = ['data', ...steps.slice(0, -1)].join('/')
    for (let number = 1; ; number++) {
      const path = `${folder}/${number === 1 ? last : numberStep(last, number)}`
      if (taken.has(path.toLowerCase())) continue
      taken.add(path.toLowerCase())
      return { path, original }
    }
  })
}

const cleanSteps = (original: string): string[] => original.split('/').map(cleanStep)

const listFolders = (steps: readonly string[]): string[] =>
  steps.slice(0, -1).map((_, index) => ['data', ...steps.slice(0, index + 1)].join('/').toLowerCase())

export const compare = (one: string, other: string): number => (one < other ? -1 : one > other ? 1 : 0)

/** Accents go, spaces become hyphens, anything else an underscore. */
function cleanStep(step: string): string {
  const plain = step
    .normalize('NFKD')
    .replaceAll(/\p{M}/gu, '')
    .replaceAll(/\s+/g, '-')
    .replaceAll(/[^A-Za-z0-9._-]/g, '_')
    .replace(/^[.-]+/, '_')
    .replace(/\.+$/, '_')
  const safe = plain === '' || reserved.test(plain) ? `_${plain}` : plain
  return safe.length <= longestStep ? safe : shorten(safe)
}

function splitExtension(step: string): [string, string] {
  const extension = /(?<=.)\.[A-Za-z0-9]{1,8}$/.exec(step)?.[0] ?? ''
  return [step.slice(0, step.length - extension.length), extension]
}

function shorten(step: string): string {
  const [stem, extension] = splitExtension(step)
  return stem.slice(0, longestStep - extension.length) + extension
}

function numberStep(step: string, number: number): string {
  const [stem, extension] = splitExtension(step)
  return `${stem}_${number}${extension}`
}

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
