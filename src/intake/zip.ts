/** Lists and unpacks a zip in memory, within limits; nothing is written anywhere. */
import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { crc32, createInflateRaw } from 'node:zlib'
import { changed, describeProblem, FileFault, type FoundFile } from './content.ts'
import { IntakeError } from './errors.ts'
import type { FileProblemCode } from './evidence.ts'
import { codeOf, type Inventory } from './folder.ts'
import type { IntakeLimits } from './limits.ts'
import { findNameProblem, showBytes, showName } from './names.ts'
import type { OpenFile, Sight, Storage } from './storage.ts'
import { readDirectory, type ZipMember } from './zip-directory.ts'
import { zipError } from './zip-end.ts'

const chunkBytes = 256 * 1024

/** A zip on storage. */
export interface ZipSource {
  sight: Sight & { path: string }
  /** How to name it in messages. */
  where: string
}

/**
 * Lists a zip without unpacking anything.
 * @throws IntakeError as `readDirectory` does.
 */
export async function listZip(storage: Storage, source: ZipSource, limits: IntakeLimits): Promise<Inventory> {
  const file = await storage.open(source.sight.path, source.sight.identity)
  try {
    const inventory: Inventory = { files: [], problems: [] }
    const members = await readDirectory(file, source.where, limits)
    refuseBomb(members, source.where, limits)
    for (const member of members) {
      const path = member.name === null ? showBytes(member.rawName) : member.name.normalize('NFC')
      const problem = judgeMember(member, path, limits)
      if (problem) inventory.problems.push(describeProblem(path, problem.code, problem.message))
      else if (member.folder) refuseFolderContent(member, path, source.where)
      else inventory.files.push(describeFile(storage, source, member, path))
    }
    return inventory
  } finally {
    await file.close()
  }
}

/** Many files that each stay below the limits can still be made to fill memory and time. */
function refuseBomb(members: readonly ZipMember[], where: string, limits: IntakeLimits): void {
  const bytes = members.reduce((sum, member) => sum + member.bytes, 0)
  const packedBytes = members.reduce((sum, member) => sum + member.packedBytes, 0)
  if (bytes <= limits.ratioTotalFloorBytes || bytes <= packedBytes * limits.ratio) return
  const message = `${where} would unpack from ${packedBytes} to ${bytes} bytes, more than ${limits.ratio} times its size`
  throw zipError('zip-bomb', where, message)
}

function judgeMember(
  member: ZipMember,
  path: string,
  limits: IntakeLimits,
): { code: FileProblemCode; message: string } | null {
  const name = showName(path)
  if (member.name === null) return { code: 'unsafe-name', message: `${name}: its name is not valid Unicode` }
  const problem = findNameProblem(path, limits)
  if (problem) return problem
  if (member.kind === 'link') return { code: 'link', message: `${name} is a link, and links are not followed` }
  if (member.kind === 'other') return { code: 'not-a-file', message: `${name} is a pipe, socket or device, not a file` }
  if (member.folder) return null
  if (member.encrypted) return { code: 'encrypted', message: `${name} is locked with a password` }
  if (member.method !== 0 && member.method !== 8) {
    return {
      code: 'unsupported-compression',
      message: `${name} is packed by method ${member.method}, which is not read`,
    }
  }
  if (member.bytes > limits.ratioFloorBytes && member.bytes > member.packedBytes * limits.ratio) {
    return {
      code: 'suspicious-ratio',
      message: `${name} would unpack from ${member.packedBytes} to ${member.bytes} bytes, more than ${limits.ratio} times its size`,
    }
  }
  return null
}

function refuseFolderContent(member: ZipMember, path: string, where: string): void {
  if (member.bytes > 0 || member.crc32 !== 0) {
    throw zipError('zip-structure', where, `${where}: the folder ${showName(path)} has content of its own`)
  }
}

const describeFile = (storage: Storage, source: ZipSource, member: ZipMember, path: string): FoundFile => ({
  path,
  bytes: member.bytes,
  chunks: () => unpack(storage, source, member, path),
})

async function* unpack(
  storage: Storage,
  source: ZipSource,
  member: ZipMember,
  path: string,
): AsyncGenerator<Uint8Array> {
  const file = await storage.open(source.sight.path, source.sight.identity).catch((error) => {
    throw new FileFault('unreadable', `${source.where} cannot be read (${codeOf(error)})`, { cause: error })
  })
  try {
    if (file.bytes !== source.sight.bytes) throw changed(source.where)
    const packed = readPacked(file, member, path)
    yield* checkContent(member.method === 8 ? inflate(packed, member, path) : packed, member, path)
  } finally {
    await file.close()
  }
}

async function* readPacked(file: OpenFile, member: ZipMember, path: string): AsyncGenerator<Uint8Array> {
  const end = member.dataStart + member.packedBytes
  for (let position = member.dataStart; position < end; ) {
    // A fresh buffer each time: the inflater may still hold the last one.
    const buffer = new Uint8Array(Math.min(chunkBytes, end - position))
    const count = await file.read(buffer, position).catch((error) => {
      throw new FileFault('unreadable', `${showName(path)} cannot be read (${codeOf(error)})`, { cause: error })
    })
    if (count === 0) throw changed(path)
    position += count
    yield buffer.subarray(0, count)
  }
}

async function* inflate(
  packed: AsyncIterable<Uint8Array>,
  member: ZipMember,
  path: string,
): AsyncGenerator<Uint8Array> {
  const inflater = createInflateRaw({ chunkSize: chunkBytes })
  const fed = pipeline(Readable.from(packed), inflater)
  // The failure also reaches the loop below; this keeps it from being reported as unhandled when the loop is left early.
  fed.catch(() => {})
  try {
    for await (const chunk of inflater) yield chunk as Uint8Array
    await fed
  } catch (error) {
    if (error instanceof FileFault || error instanceof IntakeError) throw error
    throw new FileFault('damaged', `${showName(path)} cannot be unpacked (${codeOf(error)})`, { cause: error })
  } finally {
    inflater.destroy()
  }
  if (inflater.bytesWritten !== member.packedBytes) {
    throw new FileFault('damaged', `${showName(path)} ends before its packed content does`)
  }
}

/** Passes on what has the stated size and CRC-32; stops at the first byte too many. */
async function* checkContent(
  content: AsyncIterable<Uint8Array>,
  member: ZipMember,
  path: string,
): AsyncGenerator<Uint8Array> {
  const name = showName(path)
  let bytes = 0
  let sum = 0
  for await (const chunk of content) {
    bytes += chunk.length
    if (bytes > member.bytes) {
      throw zipError('zip-size-lie', name, `${name} unpacks to more than the ${member.bytes} bytes that the zip states`)
    }
    sum = crc32(chunk, sum)
    yield chunk
  }
  if (bytes < member.bytes)
    throw new FileFault('damaged', `${name} unpacks to ${bytes} bytes, not the ${member.bytes} stated`)
  if (sum !== member.crc32)
    throw new FileFault('damaged', `${name} does not have the checksum (CRC-32) that the zip states`)
}
