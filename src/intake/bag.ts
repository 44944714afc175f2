/**
 * Opens a BagIt bag (RFC 8493): its payload is the packet, and its tag files say what the payload must be. Nothing is
 * judged here, and nothing in a bag is junk: every file is listed with the digests that its manifests ask for.
 */
import type { AlgorithmName } from '../facts/algorithms.ts'
import { namesFile, readNames } from '../facts/original-names.ts'
import { refuseClashes } from './clashes.ts'
import { describeProblem, FileFault, type FoundFile, type HashedEvidence, takeEvidence } from './content.ts'
import { IntakeError } from './errors.ts'
import type { BagContents, EvidenceFile, FileProblem } from './evidence.ts'
import type { Inventory } from './folder.ts'
import type { IntakeLimits } from './limits.ts'
import { compareCodeUnits, findEscape, findJunkReason, findNameProblem } from './names.ts'

const declaration = 'bagit.txt'
const payload = 'data/'

/**
 * Where the bag begins in what was listed: nothing, or `folder/` where all that is no junk lies in one folder; null where
 * there is none. A bag among other files is evidence like them: nothing beside it may be passed over.
 */
export function findBagRoot({ files, problems }: Inventory): string | null {
  if (files.some(({ path }) => path === declaration)) return ''
  const paths = [...files, ...problems].map(({ path }) => path).filter((path) => findJunkReason(path) === null)
  const inside = paths.find((path) => /^[^/]+\/bagit\.txt$/.test(path))
  const root = inside?.slice(0, -declaration.length)
  return root !== undefined && paths.every((path) => path.startsWith(root)) ? root : null
}

/** Names of digests in names of manifests (RFC 8493, 2.4). */
const digests: Readonly<Record<string, AlgorithmName>> = {
  md5: 'md5',
  sha1: 'sha-1',
  sha256: 'sha-256',
  sha384: 'sha-384',
  sha512: 'sha-512',
}

/** Hashes every file once, by every digest that a manifest at hand is of. Errors as `assemble`. */
export async function takeBag(root: string, where: string, inventory: Inventory, limits: IntakeLimits) {
  const files = inventory.files.filter(({ path }) => path.startsWith(root))
  const problems = inventory.problems
    .filter(({ path }) => path.startsWith(root))
    .map((problem) => ({ ...problem, path: problem.path.slice(root.length) }))
  refuseClashes(files.map(({ path }) => path))
  const paths = files.map(({ path }) => path.slice(root.length))
  const evidence = await takeFiles(files, root, where, { algorithms: listAlgorithms(paths), limits, problems })
  const tagFiles = await readTagFiles(evidence, limits, problems)
  const entries = evidence.map(({ path, bytes, digests: own, chunks }) => ({ path, bytes, digests: own, chunks }))
  const bag: BagContents = { entries: entries.sort((a, b) => compareCodeUnits(a.path, b.path)), tagFiles, problems }
  const own = evidence.filter(({ path }) => path.startsWith(payload))
  return {
    bag,
    payload: restoreNames(own, tagFiles, limits),
    // What could not be taken of the payload is told of as a file of the packet, too.
    problems: problems
      .filter(({ path }) => path.startsWith(payload))
      .map((problem) => ({ ...problem, path: problem.path.slice(payload.length) })),
  }
}

/** Those of the manifests at the root and of renewals, and SHA-256. */
function listAlgorithms(paths: readonly string[]): AlgorithmName[] {
  const words = paths.map((path) => /^(?:renewal-\d+\/|tag)?manifest-([a-z0-9]+)\.txt$/.exec(path)?.[1] ?? '')
  const named = words.flatMap((word) => (Object.hasOwn(digests, word) ? [digests[word] as AlgorithmName] : []))
  return [...new Set<AlgorithmName>(['sha-256', ...named])]
}

/** At the root, and in the folders of renewals. */
const isTagFile = (path: string): boolean => /^(?:renewal-\d+\/)?[^/]+$/.test(path)

async function readTagFiles(
  evidence: readonly EvidenceFile[],
  limits: IntakeLimits,
  problems: FileProblem[],
): Promise<Map<string, Uint8Array>> {
  const tagFiles = new Map<string, Uint8Array>()
  let left = limits.tagFileBytes * 4
  for (const file of evidence.filter(({ path }) => isTagFile(path))) {
    const most = Math.min(limits.tagFileBytes, left)
    if (file.bytes > most) {
      const message = `${file.path} holds ${file.bytes} bytes, more than the ${most} allowed`
      problems.push(describeProblem(file.path, 'too-large', message))
      continue
    }
    left -= file.bytes
    tagFiles.set(file.path, await file.read())
  }
  return tagFiles
}

async function takeFiles(
  files: readonly FoundFile[],
  root: string,
  where: string,
  { algorithms, limits, problems }: { algorithms: AlgorithmName[]; limits: IntakeLimits; problems: FileProblem[] },
): Promise<HashedEvidence[]> {
  const total = files.reduce((sum, { bytes }) => sum + bytes, 0)
  // What vouches for the payload comes on top of it.
  const most = limits.totalBytes + limits.tagFileBytes * 4
  if (total > most) throw tooLarge(where, total, most)
  const taken: HashedEvidence[] = []
  for (const file of files) {
    const path = file.path.slice(root.length)
    if (file.bytes > limits.fileBytes) {
      const message = `${path} holds ${file.bytes} bytes, more than the ${limits.fileBytes} allowed for one file`
      problems.push(describeProblem(path, 'too-large', message))
      continue
    }
    try {
      taken.push(await takeEvidence({ ...file, path }, algorithms))
    } catch (error) {
      if (!(error instanceof FileFault)) throw error
      problems.push(describeProblem(path, error.code, error.message))
    }
  }
  return taken
}

const tooLarge = (where: string, bytes: number, most: number): IntakeError =>
  new IntakeError(
    'packet-too-large',
    where,
    `${where} holds ${bytes} bytes, more than the ${most} allowed`,
    'Verify it on a machine that has room for it, and with a higher limit on the size of a packet.',
  )

/**
 * Under the names that they were received by, as the list in the bag gives them, else by their path below data/. A list
 * that is none, or that names files as no packet could have had them, is passed over as a whole: the seal says what is
 * wrong with it.
 */
function restoreNames<File extends EvidenceFile>(
  files: readonly File[],
  tagFiles: ReadonlyMap<string, Uint8Array>,
  limits: IntakeLimits,
): File[] {
  const names = listNames(tagFiles.get(namesFile))
  const restored = files.map((file) => ({ ...file, path: names.get(file.path) ?? file.path.slice(payload.length) }))
  return areUsable(restored, limits)
    ? restored
    : files.map((file) => ({ ...file, path: file.path.slice(payload.length) }))
}

function areUsable(files: readonly EvidenceFile[], limits: IntakeLimits): boolean {
  const paths = files.map(({ path }) => path)
  if (paths.some((path) => findEscape(path) !== null || findNameProblem(path, limits) !== null)) return false
  try {
    refuseClashes(paths)
    return true
  } catch (error) {
    if (error instanceof IntakeError) return false
    throw error
  }
}

function listNames(bytes: Uint8Array | undefined): ReadonlyMap<string, string> {
  try {
    return bytes === undefined ? new Map() : readNames(new TextDecoder('utf-8', { ignoreBOM: true }).decode(bytes))
  } catch (error) {
    if (error instanceof RangeError) return new Map()
    throw error
  }
}
