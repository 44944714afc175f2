/** From what a folder or zip lists to an opened packet. */
import { findBagRoot, takeBag } from './bag.ts'
import { refuseClashes } from './clashes.ts'
import { copyEvidence, describeProblem, FileFault, type FoundFile, takeEvidence } from './content.ts'
import { digestPacket } from './digest.ts'
import { IntakeError } from './errors.ts'
import type { Copier, DeclarationFile, EvidenceFile, FileProblem, IgnoredFile, IntakePacket } from './evidence.ts'
import type { Inventory } from './folder.ts'
import type { IntakeLimits } from './limits.ts'
import { compareCodeUnits, findJunkReason, showName } from './names.ts'

interface Opening {
  name: string
  form: IntakePacket['form']
  /** What the user named. */
  where: string
  copier: Copier | null
}

/**
 * Clears away junk, refuses clashes, finds the root, hashes every file, and sets the declaration apart.
 * @throws IntakeError `duplicate-path`, `case-clash`, `packet-too-large`, `changed`, `declaration-unusable`, `empty`,
 * and what unpacking a zip throws. What the copier throws.
 */
export async function assemble(opening: Opening, inventory: Inventory, limits: IntakeLimits): Promise<IntakePacket> {
  const { name, form, where, copier } = opening
  const bagRoot = form === 'file' ? null : findBagRoot(inventory)
  if (bagRoot !== null) return assembleBag({ ...opening, root: bagRoot }, inventory, limits)
  const ignored = [...inventory.files, ...inventory.problems].flatMap(({ path }) => describeJunk(path))
  const files = inventory.files.filter(({ path }) => findJunkReason(path) === null)
  const problems = inventory.problems.filter(({ path }) => findJunkReason(path) === null)
  refuseClashes([...files, ...problems].map(({ path }) => path))
  const root = form === 'file' ? '' : findRoot([...files, ...problems])
  const small = dropLarge(files, where, limits, problems)
  const found = small.map((file) => ({ ...file, path: file.path.slice(root.length) }))
  copier?.begin({ isBag: false, paths: found.map(({ path }) => path), problems })
  const take = copier === null ? takeEvidence : (file: FoundFile) => copyEvidence(file, copier)
  const evidence = await takeAll(found, root, take, problems)
  const withoutRoot = (path: string) => (path.startsWith(root) ? path.slice(root.length) : path)
  const declaration = form === 'file' ? null : await takeDeclaration(evidence, problems, root, limits.declarationBytes)
  const kept = evidence.filter(({ path }) => declaration === null || path !== declaration.path)
  if (kept.length === 0 && problems.length === 0) {
    throw new IntakeError('empty', where, `${where} holds no file to check`, 'Put the saved reports into it.')
  }
  return {
    name,
    form,
    bag: null,
    files: kept.sort(byPath),
    declaration,
    ignored: ignored.map((entry) => ({ ...entry, path: withoutRoot(entry.path) })).sort(byPath),
    problems: problems.map((entry) => ({ ...entry, path: withoutRoot(entry.path) })).sort(byPath),
    digest: digestPacket(declaration ? [...kept, declaration] : kept),
  }
}

async function assembleBag(
  { name, form, where, root, copier }: Opening & { root: string },
  inventory: Inventory,
  limits: IntakeLimits,
): Promise<IntakePacket> {
  copier?.begin({ isBag: true, paths: [], problems: [] })
  const { bag, payload, problems } = await takeBag(root, where, inventory, limits)
  const declaration = await takeDeclaration(payload, problems, '', limits.declarationBytes)
  const files = payload.filter(({ path }) => declaration === null || path !== declaration.path).sort(byPath)
  const digest = digestPacket(declaration ? [...files, declaration] : files)
  // Inside a bag nothing is junk; beside its folder in a zip, it is nothing else.
  const ignored = inventory.files.filter(({ path }) => !path.startsWith(root)).flatMap(({ path }) => describeJunk(path))
  return { name, form, bag, files, declaration, ignored: ignored.sort(byPath), problems: problems.sort(byPath), digest }
}

const byPath = (a: { path: string }, b: { path: string }): number => compareCodeUnits(a.path, b.path)

function describeJunk(path: string): IgnoredFile[] {
  const reason = findJunkReason(path)
  return reason === null ? [] : [{ path: showName(path), reason }]
}

/** `folder/` when everything lies in one folder at the top, as it does when a folder was zipped; else nothing. */
function findRoot(entries: readonly { path: string }[]): string {
  const tops = new Set(entries.map(({ path }) => (path.includes('/') ? path.slice(0, path.indexOf('/') + 1) : '')))
  return tops.size === 1 ? ([...tops][0] ?? '') : ''
}

/** A file that is too large is a problem, a packet that is refuses all. */
function dropLarge(
  files: readonly FoundFile[],
  where: string,
  limits: IntakeLimits,
  problems: FileProblem[],
): FoundFile[] {
  const small = files.filter(({ path, bytes }) => {
    if (bytes <= limits.fileBytes) return true
    const message = `${path} holds ${bytes} bytes, more than the ${limits.fileBytes} allowed for one file`
    problems.push(describeProblem(path, 'too-large', message))
    return false
  })
  refuseSize(
    small.reduce((sum, { bytes }) => sum + bytes, 0),
    where,
    limits,
  )
  return small
}

async function takeAll(
  files: readonly FoundFile[],
  root: string,
  take: (file: FoundFile) => Promise<EvidenceFile>,
  problems: FileProblem[],
): Promise<EvidenceFile[]> {
  const taken: EvidenceFile[] = []
  for (const file of files) {
    try {
      taken.push(await take(file))
    } catch (error) {
      if (!(error instanceof FileFault)) throw error
      problems.push(describeProblem(`${root}${file.path}`, error.code, error.message))
    }
  }
  return taken
}

/** A packet whose declaration cannot be read is refused: without it, it would be judged as something it is not. */
async function takeDeclaration(
  evidence: readonly EvidenceFile[],
  problems: readonly FileProblem[],
  root: string,
  mostBytes: number | null,
): Promise<DeclarationFile | null> {
  if (mostBytes === null) return null
  const unusable = (message: string, mend: string) =>
    new IntakeError('declaration-unusable', 'packet.yaml', message, mend)
  const problem = problems.find(({ path }) => path === `${root}packet.yaml`)
  if (problem) throw unusable(problem.message, problem.mend)
  const file = evidence.find(({ path }) => path === 'packet.yaml')
  if (!file) return null
  if (file.bytes > mostBytes) {
    throw unusable(`packet.yaml holds ${file.bytes} bytes, more than the ${mostBytes} allowed`, 'Shorten it.')
  }
  const { bytes, sha256, chunks } = file
  return { path: 'packet.yaml', bytes, sha256, data: await file.read(), chunks }
}

/** @throws IntakeError `packet-too-large`. */
export function refuseSize(bytes: number, path: string, limits: IntakeLimits): void {
  if (bytes <= limits.totalBytes) return
  throw new IntakeError(
    'packet-too-large',
    path,
    `${path} holds ${bytes} bytes, more than the ${limits.totalBytes} allowed`,
    'Leave out what is not evidence, or raise the limit on the size of a packet.',
  )
}
