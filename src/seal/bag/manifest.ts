/** Manifests of a bag (RFC 8493, sections 2.1.3 and 2.2.1): lines of a digest and a path. */
import type { DigestName } from '../certificates/algorithms.ts'

export interface ManifestEntry {
  /** As the file system has it: percent-escapes undone, in Unicode form NFC. */
  path: string
  /** The same with percent signs left alone, where that differs: many programs write names as they are. */
  unescaped?: string
  /** Lower-case hexadecimal. */
  digest: string
}

export interface Manifest {
  /** Its own path in the bag. */
  file: string
  algorithm: DigestName
  /** Of tag files rather than of the payload. */
  ofTags: boolean
  entries: readonly ManifestEntry[]
  faults: readonly ManifestFault[]
  /** Written as we write it: lower case, two spaces, sorted, one line feed after each line. */
  canonical: boolean
}

export interface ManifestFault {
  code: 'line-malformed' | 'path-escapes' | 'listed-twice'
  text: string
}

/** Digest names as they stand in names of manifests (RFC 8493, 2.4), with their length in hexadecimal digits. */
const algorithms: Readonly<Record<string, { name: DigestName; digits: number }>> = {
  md5: { name: 'md5', digits: 32 },
  sha1: { name: 'sha-1', digits: 40 },
  sha256: { name: 'sha-256', digits: 64 },
  sha384: { name: 'sha-384', digits: 96 },
  sha512: { name: 'sha-512', digits: 128 },
}

export interface ManifestName {
  algorithm: DigestName
  digits: number
  ofTags: boolean
}

/** What the name of a file at the root of a bag says; null where it is no manifest, or one of an unknown digest. */
export function readManifestName(file: string): ManifestName | null {
  const [, tag, word = ''] = /^(tag)?manifest-([a-z0-9]+)\.txt$/.exec(file) ?? []
  const algorithm = Object.hasOwn(algorithms, word) ? algorithms[word] : undefined
  return algorithm === undefined
    ? null
    : { algorithm: algorithm.name, digits: algorithm.digits, ofTags: tag !== undefined }
}

export const nameManifest = (algorithm: DigestName, ofTags: boolean): string =>
  `${ofTags ? 'tag' : ''}manifest-${algorithm.replace('-', '')}.txt`

/**
 * Reads a manifest as RFC 8493 has others write it: any white space between, upper case, `./` before and `*` for binary
 * as checksum tools write them, CR, LF or both at the end of a line.
 */
export function parseManifest(file: string, { algorithm, digits, ofTags }: ManifestName, text: string): Manifest {
  const entries: ManifestEntry[] = []
  const faults: ManifestFault[] = []
  const seen = new Set<string>()
  const line = new RegExp(`^([0-9a-fA-F]{${digits}})[ \\t]+\\*?(.+)$`)
  for (const [index, raw] of text
    .replace(/^\ufeff/, '')
    .split(/\r\n|\r|\n/)
    .entries()) {
    if (raw.trim() === '') continue
    const [, digest, written] = line.exec(raw) ?? []
    if (digest === undefined || written === undefined) {
      faults.push({ code: 'line-malformed', text: `line ${index + 1} of ${file} is no digest and path` })
      continue
    }
    const { path, unescaped } = readWrittenPath(written)
    const outside = findEscape(path, ofTags)
    if (outside !== null) {
      faults.push({ code: 'path-escapes', text: `line ${index + 1} of ${file} names ${path}, which ${outside}` })
      continue
    }
    if (seen.has(path)) faults.push({ code: 'listed-twice', text: `${file} lists ${path} twice` })
    seen.add(path)
    entries.push({ path, digest: digest.toLowerCase(), ...(unescaped === path ? {} : { unescaped }) })
  }
  return { file, algorithm, ofTags, entries, faults, canonical: faults.length === 0 && text === writeManifest(entries) }
}

/** Paths are relative, and those of the payload lie in data/ (RFC 8493, 2.1.3 and 5.1). What is wrong, or null. */
export function findEscape(path: string, ofTags: boolean): string | null {
  if (path.startsWith('/') || path.startsWith('~') || /^[A-Za-z]:/.test(path) || path.includes('\\'))
    return 'leads out of the bag'
  if (path.split('/').some((step) => step === '..' || step === '.' || step === '')) return 'leads out of the bag'
  if (!ofTags && !path.startsWith('data/')) return 'is not in data/'
  return null
}

/** A path as a manifest writes it, read both as RFC 8493 has it written and literally. */
export function readWrittenPath(written: string): { path: string; unescaped: string } {
  const unescaped = written.replace(/^\.\//, '').normalize('NFC')
  return { path: unescapePath(unescaped), unescaped }
}

/** RFC 8493, 2.1.3: only CR, LF and the percent sign are escaped. */
const unescapePath = (path: string): string =>
  path.replaceAll(/%(0[Dd]|0[Aa]|25)/g, (_, code: string) => String.fromCharCode(Number.parseInt(code, 16)))

/** The text, sorted by path in code units; digests must be lower-case hexadecimal. */
export function writeManifest(entries: readonly ManifestEntry[]): string {
  return entries
    .toSorted((one, other) => (one.path < other.path ? -1 : one.path > other.path ? 1 : 0))
    .map(({ path, digest }) => `${digest}  ${path}\n`)
    .join('')
}
