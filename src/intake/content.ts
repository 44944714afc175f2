/** From chunks of bytes to hashed, sniffed evidence that proves itself each time it is read. */
import { createHash } from 'node:crypto'
import type { AlgorithmName } from '../facts/algorithms.ts'
import { IntakeError } from './errors.ts'
import type { Copier, EvidenceFile, FileProblem, FileProblemCode } from './evidence.ts'
import { showName } from './names.ts'
import { sniff, sniffBytes } from './sniff.ts'

/** Thrown by a source of bytes for a fault that concerns one file alone. */
export class FileFault extends Error {
  readonly code: FileProblemCode

  constructor(code: FileProblemCode, message: string, options?: ErrorOptions) {
    super(message, options)
    this.code = code
  }
}

/** A file as its folder or zip lists it, before its bytes were looked at. */
export interface FoundFile {
  path: string
  /** As listed; the content must have exactly this many. */
  bytes: number
  /** The content from its start, a new pass each time. Throws `FileFault` or `IntakeError`. */
  chunks(): AsyncIterable<Uint8Array>
}

const mends: Record<FileProblemCode, string> = {
  link: 'Put the file itself in the place of the link.',
  'not-a-file': 'Take it out of the packet, or save what it stands for as a file.',
  unreadable: 'Allow yourself to read it, or copy it again from its source.',
  'unsafe-name': 'Rename it with letters, digits, spaces, dots and hyphens.',
  'name-too-long': 'Give it, and the folders it lies in, shorter names.',
  'too-deep': 'Move it nearer to the top of the packet.',
  'too-large': 'Split or export it smaller, or raise the limit on the size of a file.',
  'suspicious-ratio': 'If the content is genuine, put the unpacked file into the packet.',
  encrypted: 'Put a copy without a password into the packet.',
  'unsupported-compression': 'Pack it again as an ordinary zip (deflate).',
  damaged: 'Get the file again from where it was saved; this copy is broken.',
}

/** A problem entry with the advice that goes with its code. */
export const describeProblem = (path: string, code: FileProblemCode, message: string): FileProblem => ({
  path: showName(path),
  code,
  message,
  mend: mends[code],
})

/** Evidence with all digests that were asked for, in lower-case hexadecimal. */
export interface HashedEvidence extends EvidenceFile {
  readonly digests: Readonly<Partial<Record<AlgorithmName, string>>>
}

/** Hashes and sniffs one file in a single pass that holds one chunk at a time. SHA-256 is always among the digests. */
export const takeEvidence = (
  found: FoundFile,
  algorithms: readonly AlgorithmName[] = ['sha-256'],
): Promise<HashedEvidence> => take(found, (chunks) => digestAll(chunks, algorithms))

/** As `takeEvidence`, in the same pass as it is copied. */
export const copyEvidence = (found: FoundFile, { copy }: Copier): Promise<HashedEvidence> =>
  take(found, async (chunks) => ({ 'sha-256': await copy(found.path, chunks) }))

type Digests = Partial<Record<AlgorithmName, string>>

async function take(
  found: FoundFile,
  digest: (chunks: AsyncIterable<Uint8Array>) => Promise<Digests>,
): Promise<HashedEvidence> {
  const head = new Uint8Array(Math.min(found.bytes, sniffBytes))
  let bytes = 0
  async function* watch() {
    for await (const chunk of found.chunks()) {
      if (bytes < head.length) head.set(chunk.subarray(0, head.length - bytes), bytes)
      bytes += chunk.length
      yield chunk
    }
    if (bytes !== found.bytes) throw changed(found.path)
  }
  const digests = await digest(watch())
  const sha256 = digests['sha-256'] as string
  const { path, chunks } = found
  return { path, bytes, sha256, digests, media: sniff(head), read: () => readProved(found, sha256), chunks }
}

async function digestAll(chunks: AsyncIterable<Uint8Array>, algorithms: readonly AlgorithmName[]): Promise<Digests> {
  const hashes = new Map(algorithms.map((name) => [name, createHash(name.replace('-', ''))]))
  for await (const chunk of chunks) for (const hash of hashes.values()) hash.update(chunk)
  const digests: Digests = {}
  for (const [name, hash] of hashes) digests[name] = hash.digest('hex')
  return digests
}

/** Further digests of a file that was taken. Throws `FileFault` or `IntakeError`, `changed` where it is another by now. */
export async function digestEvidence(
  { path, bytes, sha256, chunks }: Pick<EvidenceFile, 'path' | 'bytes' | 'sha256' | 'chunks'>,
  algorithms: readonly AlgorithmName[],
): Promise<HashedEvidence['digests']> {
  if (algorithms.every((name) => name === 'sha-256')) return { 'sha-256': sha256 }
  const { digests } = await takeEvidence({ path, bytes, chunks }, [
    ...new Set<AlgorithmName>(['sha-256', ...algorithms]),
  ])
  if (digests['sha-256'] !== sha256) throw changed(path)
  return digests
}

async function readProved(found: FoundFile, sha256: string): Promise<Uint8Array<ArrayBuffer>> {
  const data = new Uint8Array(found.bytes)
  const hash = createHash('sha256')
  let bytes = 0
  try {
    for await (const chunk of found.chunks()) {
      if (bytes + chunk.length > data.length) throw changed(found.path)
      data.set(chunk, bytes)
      hash.update(chunk)
      bytes += chunk.length
    }
  } catch (error) {
    if (!(error instanceof FileFault)) throw error
    throw error.code === 'unreadable'
      ? new IntakeError('unreadable', found.path, error.message, mends.unreadable, { cause: error })
      : changed(found.path)
  }
  if (bytes !== data.length || hash.digest('hex') !== sha256) throw changed(found.path)
  return data
}

/** The error for content that is no longer what was listed or hashed. */
export const changed = (path: string): IntakeError =>
  new IntakeError(
    'changed',
    showName(path),
    `${showName(path)} changed while the packet was being read`,
    'Wait until nothing writes to the packet, then check it again.',
  )
