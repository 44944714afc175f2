/**
 * Opens a BagIt bag (RFC 8493): its payload is the packet, and its tag files say what the payload must be. Nothing is
 * judged here, and nothing in a bag is junk: every file is listed with the digests that its manifests ask for.
 */
import type { AlgorithmName } from '../facts/algorithms.ts'
import { namesFile, readNames } from '../facts/original-names.ts'
import { refuseClashes } from './clashes.ts'
import { FileFault, type FoundFile, type HashedEvidence, takeEvidence } from './content.ts'
import { IntakeError } from './errors.ts'
import type { BagContents, EvidenceFile } from './evidence.ts'
import type { Inventory } from './folder.ts'
import type { IntakeLimits } from './limits.ts'
import { compareCodeUnits, findEscape, findNameProblem } from './names.ts'

const declaration = 'bagit.txt'
const payload = 'data/'

/**
 * Where the bag begins in what was listed: nothing, or `folder/` for the one folder at the top of a zip; null where there
 * is none.
 */
export function findBagRoot({ files }: Inventory): string | null {
  if (files.some(({ path }) => path === declaration)) return ''
  const inside = files.filter(({ path }) => /^[^/]+\/bagit\.txt$/.test(path))
  const [only, ...others] = inside
  if (only === undefined || others.length > 0) return null
  return only.path.slice(0, -declaration.length)
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
  const relative = (path: string) => (path.startsWith(root) ? path.slice(root.length) : path)
  refuseClashes(files.map(({ path }) => path))
  const algorithms = new Set<AlgorithmName>(['sha-256'])
  for (const { path } of files) {
    const word = /(?:^|\/)(?:tag)?manifest-([a-z0-9]+)\.txt$/.exec(relative(path))?.[1] ?? ''
    const name = Object.hasOwn(digests, word) ? digests[word] : undefined
    if (name !== undefined) algorithms.add(name)
  }
  const problems = inventory.problems.map(({ path, message }) => ({ path: relative(path), message }))
  const evidence = await takeFiles(files, root, where, { algorithms: [...algorithms], limits, problems })
  const tagFiles = new Map<string, Uint8Array>()
  for (const file of evidence) {
    if (file.path.startsWith(payload)) continue
    if (file.bytes > limits.tagFileBytes) {
      problems.push({
        path: file.path,
        message: `${file.path} holds ${file.bytes} bytes, more than the ${limits.tagFileBytes} allowed`,
      })
      continue
    }
    tagFiles.set(file.path, await file.read())
  }
  const entries = evidence.map(({ path, bytes, digests: own, chunks }) => ({ path, bytes, digests: own, chunks }))
  const bag: BagContents = { entries: entries.sort((a, b) => compareCodeUnits(a.path, b.path)), tagFiles, problems }
  const own = evidence.filter(({ path }) => path.startsWith(payload))
  return { bag, payload: restoreNames(own, tagFiles, limits) }
}

async function takeFiles(
  files: readonly FoundFile[],
  root: string,
  where: string,
  context: {
    algorithms: readonly AlgorithmName[]
    limits: IntakeLimits
    problems: { path: string; message: string }[]
  },
): Promise<HashedEvidence[]> {
  const { algorithms, limits, problems } = context
  const total = files.reduce((sum, { bytes }) => sum + bytes, 0)
  // What vouches for the payload comes on top of it.
  const most = limits.totalBytes + limits.tagFileBytes * 4
  if (total > most) throw tooLarge(where, total, most)
  const taken: HashedEvidence[] = []
  for (const file of files) {
    const path = file.path.slice(root.length)
    if (file.bytes > limits.fileBytes) {
      problems.push({
        path,
        message: `${path} holds ${file.bytes} bytes, more than the ${limits.fileBytes} allowed for one file`,
      })
      continue
    }
    try {
      taken.push(await takeEvidence({ ...file, path }, algorithms))
    } catch (error) {
      if (!(error instanceof FileFault)) throw error
      problems.push({ path, message: error.message })
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
 * Under the names that they were received by, as the list in the bag gives them. A list that is none, a name that no
 * packet could have had, and one that two files would have are passed over: the seal says what is wrong with the list.
 */
function restoreNames<File extends EvidenceFile>(
  files: readonly File[],
  tagFiles: ReadonlyMap<string, Uint8Array>,
  limits: IntakeLimits,
): File[] {
  const names = listNames(tagFiles.get(namesFile))
  const taken = new Set<string>()
  return files.map((file) => {
    const original = names.get(file.path)
    const usable = original !== undefined && findEscape(original) === null && findNameProblem(original, limits) === null
    const name = usable && !taken.has(original) ? original : file.path.slice(payload.length)
    taken.add(name)
    return { ...file, path: name }
  })
}

function listNames(bytes: Uint8Array | undefined): ReadonlyMap<string, string> {
  try {
    return bytes === undefined ? new Map() : readNames(new TextDecoder('utf-8', { ignoreBOM: true }).decode(bytes))
  } catch (error) {
    if (error instanceof RangeError) return new Map()
    throw error
  }
}
