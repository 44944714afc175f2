/** Is a bag complete and valid (RFC 8493, section 3), and, where it is sealed, exactly as it was written? */
import { namesFile, readNames } from '../../facts/original-names.ts'
import type { SealFault, SealPart } from '../../facts/seal.ts'
import type { DigestName } from '../certificates/algorithms.ts'
import { type Manifest, parseManifest, readManifestName } from './manifest.ts'
import { compare } from './names.ts'
import { findDeclarationFault, findTag, parseTags, writeOxum, writeTags } from './tags.ts'

/** What an opened bag consists of. */
export interface BagView {
  /** Every file, sorted by path, with the digests that its manifests ask for. */
  entries: readonly BagEntry[]
  /** The content of small files at the root, by path. */
  tagFiles: ReadonlyMap<string, Uint8Array>
  /** What stands in the bag and could not be taken: links, unreadable files, unsafe names. */
  problems: readonly { path: string; message: string }[]
}

export interface BagEntry {
  path: string
  bytes: number
  /** Lower-case hexadecimal. */
  digests: Readonly<Partial<Record<DigestName, string>>>
}

export interface BagExamination {
  structure: SealPart
  files: SealPart
  /** Of the payload manifests, strongest first. */
  digests: DigestName[]
  info: ReadonlyMap<string, string>
  names: ReadonlyMap<string, string>
}

/** The seal itself stands beside the tag manifest, which it covers. */
export const sealFiles = { signature: 'seal.p7s', stamp: 'seal.tsr' } as const
export const renewalFolder = /^renewal-[1-9]\d*\//
const isBeside = (path: string): boolean =>
  path === sealFiles.signature ||
  path === sealFiles.stamp ||
  renewalFolder.test(path) ||
  /^tagmanifest-[a-z0-9]+\.txt$/.test(path)

const decode = (bytes: Uint8Array | undefined): string =>
  bytes === undefined ? '' : new TextDecoder('utf-8', { ignoreBOM: true }).decode(bytes)

/** Strongest first. */
const byStrength: readonly DigestName[] = ['sha-512', 'sha-384', 'sha-256', 'sha-1', 'md5']
const isStrong = (name: DigestName): boolean => name.startsWith('sha-') && name !== 'sha-1'

/**
 * `sealed`: hold it to the form that this program writes, so that no byte can change without a trace; else as leniently as
 * RFC 8493 lets others write.
 */
export function examineBag(view: BagView, { sealed }: { sealed: boolean }): BagExamination {
  const manifests = readManifests(view)
  const text = (path: string) => decode(view.tagFiles.get(path))
  const faults = [...findStructureFaults(view, manifests, sealed), ...(sealed ? findSealedFaults(view, manifests) : [])]
  const { tags } = parseTags(text('bag-info.txt'))
  const fileFaults = [...compareFiles(view, manifests), ...findOxumFault(view, findTag(tags, 'Payload-Oxum'))]
  const payload = manifests.filter(({ ofTags }) => !ofTags)
  const digests = byStrength.filter((name) => payload.some(({ algorithm }) => algorithm === name))
  return {
    structure: describeStructure(faults),
    files: describeFiles(view, fileFaults, digests),
    digests,
    info: new Map(tags.map(({ label, value }) => [label, value])),
    names: faults.length === 0 && view.tagFiles.has(namesFile) ? readNames(text(namesFile)) : new Map(),
  }
}

export function readManifests(view: Pick<BagView, 'tagFiles'>): Manifest[] {
  return [...view.tagFiles.keys()].toSorted(compare).flatMap((file) => {
    const name = readManifestName(file)
    return name === null ? [] : [parseManifest(file, name, decode(view.tagFiles.get(file)))]
  })
}

function findStructureFaults(view: BagView, manifests: readonly Manifest[], sealed: boolean): SealFault[] {
  const faults: SealFault[] = []
  const add = (file: string, code: string, text: string) => faults.push({ file, code, text })
  const declarationText = view.tagFiles.get('bagit.txt')
  const declared =
    declarationText === undefined ? 'bagit.txt is missing' : findDeclarationFault(decode(declarationText))
  if (declared !== null) add('bagit.txt', 'declaration', declared)
  const payload = manifests.filter(({ ofTags }) => !ofTags)
  if (payload.length === 0) add('bagit.txt', 'no-manifest', 'the bag has no manifest of a digest that is known')
  for (const { file, faults: own } of manifests) for (const { code, text } of own) add(file, code, text)
  for (const { path, message } of view.problems) add(path, 'unusable', message)
  if (view.entries.some(({ path }) => path === 'fetch.txt'))
    add('fetch.txt', 'incomplete', 'the bag leaves files to be fetched from elsewhere, which is not done')
  if (sealed || !view.tagFiles.has(namesFile)) return faults
  try {
    readNames(decode(view.tagFiles.get(namesFile)))
  } catch (error) {
    add(namesFile, 'names-malformed', (error as Error).message)
  }
  return faults
}

/** What RFC 8493 leaves open, and a bag of ours has in one way alone. */
function findSealedFaults(view: BagView, manifests: readonly Manifest[]): SealFault[] {
  const faults: SealFault[] = []
  const add = (file: string, code: string, text: string) => faults.push({ file, code, text })
  for (const name of [
    'manifest-sha256.txt',
    'manifest-sha512.txt',
    'tagmanifest-sha256.txt',
    'tagmanifest-sha512.txt',
  ]) {
    const manifest = manifests.find(({ file }) => file === name)
    if (manifest === undefined) add(name, 'missing', `${name} is missing`)
    else if (!manifest.canonical) add(name, 'rewritten', `${name} is not in the form that it was written in`)
  }
  const covered = new Set(
    manifests.filter(({ ofTags }) => ofTags).flatMap(({ entries }) => entries.map(({ path }) => path)),
  )
  for (const { path } of view.entries) {
    if (path.startsWith('data/') || isBeside(path) || covered.has(path)) continue
    add(path, 'uncovered', `${path} was not there when the bag was sealed`)
  }
  const info = decode(view.tagFiles.get('bag-info.txt'))
  if (info !== writeTags(parseTags(info).tags))
    add('bag-info.txt', 'rewritten', 'bag-info.txt is not in the form that it was written in')
  const names = view.tagFiles.get(namesFile)
  try {
    const known = readNames(decode(names))
    const paths = view.entries.filter(({ path }) => path.startsWith('data/')).map(({ path }) => path)
    const unnamed = paths.find((path) => !known.has(path))
    if (unnamed !== undefined) add(namesFile, 'names-incomplete', `${namesFile} has no name for ${unnamed}`)
  } catch (error) {
    add(namesFile, 'names-malformed', (error as Error).message)
  }
  return faults
}

/** Each manifest against the files: each lists the whole payload (RFC 8493, 2.1.3), a tag manifest what it lists. */
function compareFiles(view: BagView, manifests: readonly Manifest[]): SealFault[] {
  const faults = new Map<string, SealFault>()
  const add = (file: string, code: string, text: string) => faults.set(`${code} ${file}`, { file, code, text })
  const found = new Map(view.entries.map((entry) => [entry.path, entry]))
  const payload = view.entries.filter(({ path }) => path.startsWith('data/'))
  for (const { file, algorithm, ofTags, entries } of manifests) {
    const listed = new Set(entries.map(({ path }) => path))
    for (const { path, digest } of entries) {
      const entry = found.get(path)
      if (entry === undefined) add(path, 'missing', `${path} is listed in ${file} and is not there`)
      else if (entry.digests[algorithm] !== digest) add(path, 'changed', `${path} is not the file that ${file} lists`)
    }
    if (ofTags) continue
    for (const { path } of payload) if (!listed.has(path)) add(path, 'extra', `${path} is not listed in ${file}`)
  }
  return [...faults.values()]
}

function findOxumFault(view: BagView, stated: string | null): SealFault[] {
  if (stated === null) return []
  const counted = writeOxum(view.entries.filter(({ path }) => path.startsWith('data/')))
  if (counted === stated) return []
  return [
    {
      file: 'bag-info.txt',
      code: 'oxum-differs',
      text: `bag-info.txt counts ${stated} (bytes.files) in data/, and there are ${counted}`,
    },
  ]
}

function describeStructure(faults: SealFault[]): SealPart {
  const part = { part: 'structure', file: 'bagit.txt', faults } as const
  return faults.length === 0
    ? { ...part, state: 'holds', code: 'well-formed', text: 'The bag is well formed (RFC 8493)' }
    : { ...part, state: 'broken', code: 'malformed', text: 'The bag is not as it must be' }
}

function describeFiles(view: BagView, faults: SealFault[], digests: readonly DigestName[]): SealPart {
  const count = view.entries.filter(({ path }) => path.startsWith('data/')).length
  const file = digests[0] === undefined ? null : `manifest-${digests[0].replace('-', '')}.txt`
  const part = { part: 'files', file, faults } as const
  if (digests.length === 0)
    return { ...part, state: 'unexamined', code: 'no-manifest', text: 'No list of files says what they must be' }
  if (faults.length > 0)
    return { ...part, state: 'broken', code: 'differ', text: 'The files are not those that are listed' }
  if (!digests.some(isStrong))
    return {
      ...part,
      state: 'doubtful',
      code: 'weak-algorithm-only',
      text: `The files agree with their list, whose digests (${digests.join(', ')}) can be forged`,
    }
  return {
    ...part,
    state: 'holds',
    code: 'agree',
    text: `All ${count} files are there, unchanged, and none beside them`,
  }
}
