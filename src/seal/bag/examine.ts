/** Is a bag complete and valid (RFC 8493, section 3), and, where it is sealed, exactly as it was written? */
import { namesFile, readNames } from '../../facts/original-names.ts'
import type { SealFault, SealPart } from '../../facts/seal.ts'
import type { DigestName } from '../certificates/algorithms.ts'
import { fetchFile, parseFetch } from './fetch.ts'
import { type Manifest, type ManifestEntry, parseManifest, readManifestName } from './manifest.ts'
import { compare } from './names.ts'
import { findSealedFaults } from './sealed.ts'
import { decodeUtf8, findTags, parseTags, readDeclaration, type Tag, writeOxum } from './tags.ts'
import { type BagEntry, type BagProblem, type BagView, isPayload } from './view.ts'

export type { BagEntry, BagView } from './view.ts'
export { sealFiles } from './view.ts'

export interface BagExamination {
  structure: SealPart
  files: SealPart
  /** Of the payload manifests, strongest first. */
  digests: DigestName[]
  info: ReadonlyMap<string, string>
  names: ReadonlyMap<string, string>
}

/** Strongest first. */
export const digestsByStrength: readonly DigestName[] = ['sha-512', 'sha-384', 'sha-256', 'sha-1', 'md5']
/** MD5 and SHA-1: two files of one digest can be made (RFC 6151; RFC 6194). */
export const isStrong = (name: DigestName): boolean => name !== 'md5' && name !== 'sha-1'

/** A bag whose tag files were read by what its bagit.txt says of them. */
interface ReadBag {
  view: BagView
  sealed: boolean
  version: string | null
  declarationFault: SealFault | null
  manifests: readonly Manifest[]
  tags: readonly Tag[]
  toFetch: ReturnType<typeof parseFetch>
}

/**
 * `sealed`: hold it to the form that this program writes, so that no byte can change without a trace; else as leniently as
 * RFC 8493 lets others write.
 */
export function examineBag(view: BagView, { sealed }: { sealed: boolean }): BagExamination {
  const bag = readBag(view, sealed)
  const structure = describeStructure([
    ...findStructureFaults(bag),
    ...(sealed ? findSealedFaults(view, bag.manifests) : []),
  ])
  const payload = bag.manifests.filter(({ ofTags }) => !ofTags)
  const digests = digestsByStrength.filter((name) => payload.some(({ algorithm }) => algorithm === name))
  return {
    structure,
    files: describeFiles(bag, [...compareFiles(bag), ...findOxumFaults(bag)], digests),
    digests,
    info: new Map(bag.tags.map(({ label, value }) => [label, value])),
    names: structure.state === 'holds' ? tryNames(view) : new Map(),
  }
}

function readBag(view: BagView, sealed: boolean): ReadBag {
  const { tagFiles } = view
  const declaration = tagFiles.get('bagit.txt')
  const { version, decode, fault } = readDeclaration(decodeUtf8(declaration))
  const text = (file: string) => decode(tagFiles.get(file))
  const missing = { code: 'declaration', text: 'bagit.txt is missing' }
  const told = declaration === undefined ? missing : fault
  const manifests = [...tagFiles.keys()].toSorted(compare).flatMap((file) => {
    const name = readManifestName(file)
    return name === null ? [] : [parseManifest(file, name, text(file))]
  })
  return {
    view,
    sealed,
    version,
    declarationFault: told === null ? null : { file: 'bagit.txt', ...told },
    manifests,
    tags: parseTags(text('bag-info.txt')).tags,
    toFetch: parseFetch(text(fetchFile)),
  }
}

function tryNames({ tagFiles }: BagView): ReadonlyMap<string, string> {
  try {
    return readNames(decodeUtf8(tagFiles.get(namesFile)))
  } catch (error) {
    if (error instanceof RangeError) return new Map()
    throw error
  }
}

function findStructureFaults({ view, sealed, version, manifests, declarationFault, toFetch }: ReadBag): SealFault[] {
  const faults: SealFault[] = declarationFault === null ? [] : [declarationFault]
  const add = (file: string, code: string, text: string) => faults.push({ file, code, text })
  const payload = manifests.filter(({ ofTags }) => !ofTags)
  if (payload.length === 0) faults.push(describeNoManifest(view))
  for (const { file, faults: own } of manifests) for (const { code, text } of own) add(file, code, text)
  // What a sealed bag lists is held to more: see `findSealedFaults`.
  if (!sealed) for (const { file, text } of findTagListFaults({ view, manifests, version })) add(file, 'tag-list', text)
  for (const problem of view.problems)
    add(problem.path, isOpen(problem, sealed) ? 'unexamined' : 'unusable', problem.message)
  for (const { code, text } of toFetch.faults) add(fetchFile, code, text)
  const listed = new Set(payload.flatMap(({ entries }) => entries.map(({ path }) => path)))
  for (const path of toFetch.paths)
    if (!listed.has(path)) add(fetchFile, 'fetch-unlisted', `${fetchFile} names ${path}, which no manifest lists`)
  return faults
}

/** From version 1.0 on, a tag manifest lists every manifest of the payload, and no tag manifest (RFC 8493, 2.2.1). */
function findTagListFaults({ view, manifests, version }: Pick<ReadBag, 'view' | 'manifests' | 'version'>) {
  if (isEarly({ version })) return []
  const needed = view.entries.map(({ path }) => path).filter((path) => /^manifest-[^/]+\.txt$/.test(path))
  return manifests
    .filter(({ ofTags }) => ofTags)
    .flatMap(({ file, entries }) => {
      const listed = new Set(entries.map(({ path }) => path))
      const lacking = needed.filter((path) => !listed.has(path)).map((path) => `${file} does not list ${path}`)
      const others = [...listed].filter((path) => /^tagmanifest-[^/]+\.txt$/.test(path))
      return [...lacking, ...others.map((path) => `${file} lists ${path}`)].map((text) => ({ file, text }))
    })
}

/** A manifest of a digest that is unknown here may list everything; a bag without any is none. */
function describeNoManifest({ entries }: BagView): SealFault {
  const unread = entries.find(({ path }) => /^manifest-[^/]+\.txt$/i.test(path))
  return unread === undefined
    ? { file: 'bagit.txt', code: 'no-manifest', text: 'the bag has no manifest of its payload' }
    : { file: unread.path, code: 'digest-unknown', text: `${unread.path} is of a digest that is not known` }
}

/** What is no plain file was put there after sealing; in a bag of others it may have its reasons. */
const isOpen = ({ code }: BagProblem, sealed: boolean): boolean =>
  code !== 'damaged' && !(sealed && ['link', 'not-a-file', 'unsafe-name'].includes(code))

/** Each manifest against the files: each lists the whole payload (RFC 8493, 2.1.3), a tag manifest what it lists. */
function compareFiles(bag: ReadBag): SealFault[] {
  const { view, manifests } = bag
  const faults = new Map<string, SealFault>()
  const add = (file: string, code: string, text: string) => {
    if (!faults.has(`${code} ${file}`)) faults.set(`${code} ${file}`, { file, code, text })
  }
  const found = new Map(view.entries.map((entry) => [entry.path, entry]))
  const payload = view.entries.filter(isPayload)
  const payloadManifests = manifests.filter(({ ofTags }) => !ofTags)
  for (const { file, algorithm, entries } of manifests)
    for (const entry of entries) {
      const there = findListed(found, entry)
      if (there === undefined) explainAbsence(bag, entry.path, file, add)
      else if (there.digests[algorithm] !== entry.digest)
        add(there.path, 'changed', `${there.path} is not the file that ${file} lists`)
    }
  const lists = payloadManifests.map((manifest) => ({ file: manifest.file, listed: listFound(found, [manifest]) }))
  // Before 1.0, one list was enough.
  const anywhere = { file: 'any manifest', listed: listFound(found, payloadManifests) }
  for (const { file, listed } of isEarly(bag) && lists.length > 0 ? [anywhere] : lists)
    for (const { path } of payload) if (!listed.has(path)) add(path, 'extra', `${path} is not listed in ${file}`)
  return [...faults.values()]
}

const isEarly = ({ version }: Pick<ReadBag, 'version'>): boolean => version?.startsWith('0.') === true

const findListed = (found: ReadonlyMap<string, BagEntry>, { path, unescaped }: ManifestEntry): BagEntry | undefined =>
  found.get(path) ?? (unescaped === undefined ? undefined : found.get(unescaped))

const listFound = (found: ReadonlyMap<string, BagEntry>, manifests: readonly Manifest[]): ReadonlySet<string> =>
  new Set(manifests.flatMap(({ entries }) => entries.map((entry) => findListed(found, entry)?.path ?? entry.path)))

function explainAbsence(
  { view, sealed, toFetch }: ReadBag,
  path: string,
  manifest: string,
  add: (file: string, code: string, text: string) => void,
): void {
  const problem = view.problems.find((one) => one.path === path)
  if (problem !== undefined && isOpen(problem, sealed))
    add(path, 'unexamined', `${path}, which ${manifest} lists, could not be examined: ${problem.message}`)
  else if (toFetch.paths.has(path))
    add(path, 'to-fetch', `${path} is listed in ${manifest} and is still to be fetched from elsewhere`)
  else add(path, 'missing', `${path} is listed in ${manifest} and is not there`)
}

function findOxumFaults({ view, tags }: ReadBag): SealFault[] {
  // What could not be taken is in no count.
  if (view.problems.some(isPayload)) return []
  const counted = writeOxum(view.entries.filter(isPayload))
  return findTags(tags, 'Payload-Oxum')
    .filter((stated) => stated !== counted)
    .map((stated) => ({
      file: 'bag-info.txt',
      code: 'oxum-differs',
      text: `bag-info.txt counts ${stated} (bytes.files) in data/, and there are ${counted}`,
    }))
}

/** Codes of faults that show that something could not be examined, not that it is wrong. */
const openCodes: ReadonlySet<string> = new Set(['unexamined', 'version-unknown', 'encoding-unknown', 'digest-unknown'])
const areOpen = (faults: readonly SealFault[]): boolean => faults.every(({ code }) => openCodes.has(code))

function describeStructure(faults: SealFault[]): SealPart {
  const part = { part: 'structure', file: 'bagit.txt', faults } as const
  if (faults.length === 0)
    return { ...part, state: 'holds', code: 'well-formed', text: 'The bag is well formed (RFC 8493)' }
  return areOpen(faults)
    ? { ...part, state: 'doubtful', code: 'unexamined', text: 'The bag could not be examined in full' }
    : { ...part, state: 'broken', code: 'malformed', text: 'The bag is not as it must be' }
}

function describeFiles(bag: ReadBag, faults: SealFault[], digests: readonly DigestName[]): SealPart {
  const payload = bag.view.entries.filter(isPayload)
  const file = digests[0] === undefined ? null : `manifest-${digests[0].replace('-', '')}.txt`
  const part = { part: 'files', file, faults } as const
  if (digests.length === 0)
    return { ...part, state: 'unexamined', code: 'no-manifest', text: 'No list of files says what they must be' }
  if (!areOpen(faults))
    return { ...part, state: 'broken', code: 'differ', text: 'The files are not those that are listed' }
  if (faults.length > 0)
    return { ...part, state: 'doubtful', code: 'unexamined', text: 'Not every file that is listed could be examined' }
  if (payload.length === 0)
    return { ...part, state: 'doubtful', code: 'empty-bag', text: 'There is no file in data/, and none is listed' }
  const found = new Map(payload.map((entry) => [entry.path, entry]))
  const strong = listFound(
    found,
    bag.manifests.filter(({ ofTags, algorithm }) => !ofTags && isStrong(algorithm)),
  )
  if (!payload.every(({ path }) => strong.has(path)))
    return {
      ...part,
      state: 'doubtful',
      code: 'weak-algorithm-only',
      text: `The files agree with their list, whose digests (${digests.filter((name) => !isStrong(name)).join(', ')}) can be forged`,
    }
  return {
    ...part,
    state: 'holds',
    code: 'agree',
    text: `All ${payload.length} files are there, unchanged, and none beside them`,
  }
}
