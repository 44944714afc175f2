/** The central directory of a zip, held against the headers that stand before each file. */
import { type Entry, fromRandomAccessReaderPromise, getFileNameLowLevel, RandomAccessReader, type ZipFile } from 'yauzl'
import { IntakeError } from './errors.ts'
import { tooManyEntries } from './folder.ts'
import type { IntakeLimits } from './limits.ts'
import { decodeName, findEscape, showName } from './names.ts'
import type { OpenFile } from './storage.ts'
import { findZipEnd, refuseHiddenEnd, type ZipEnd, zipError } from './zip-end.ts'

/** One member, after every header that speaks of it was found to agree. */
export interface ZipMember {
  /** As decoded, without the slash that ends a folder's name; null where it is not valid Unicode. */
  name: string | null
  rawName: Uint8Array
  folder: boolean
  kind: 'file' | 'link' | 'other'
  encrypted: boolean
  /** APPNOTE 4.4.5: 0 stored, 8 deflated. */
  method: number
  packedBytes: number
  bytes: number
  crc32: number
  /** Where its packed content starts. */
  dataStart: number
}

/** Room in the directory that we grant to each entry: names, extra fields and comment. */
const directoryBytesPerEntry = 4096

/** Data descriptor: three or five words, the sizes of zip64 being twice as wide, with or without its signature. */
const descriptorBytes = [0, 12, 16, 20, 24]

/**
 * Every member of a zip.
 * @throws IntakeError `too-many-entries`, `unsafe-path`, and the `zip-…` codes: a zip whose structure lies is refused.
 */
export async function readDirectory(file: OpenFile, where: string, limits: IntakeLimits): Promise<ZipMember[]> {
  const end = await findZipEnd(file, where)
  if (end.entries > limits.entries) throw tooManyEntries(where, limits)
  if (end.directoryBytes > (limits.entries + 1) * directoryBytesPerEntry) {
    throw zipError('zip-structure', where, `${where}: its directory is far larger than its entries need`)
  }
  await refuseHiddenEnd(file, end, where)
  try {
    return await readMembers(file, end, where)
  } catch (error) {
    if (error instanceof IntakeError) throw error
    const detail = error instanceof Error ? error.message : String(error)
    throw zipError('zip-structure', where, `${where} is not a sound zip: ${detail}`, error)
  }
}

async function readMembers(file: OpenFile, end: ZipEnd, where: string): Promise<ZipMember[]> {
  const reader = new FileReader(file)
  const zip = await fromRandomAccessReaderPromise(reader, file.bytes, {
    decodeStrings: false,
    // Sizes are checked while unpacking, so that damage to one file does not hide the others.
    validateEntrySizes: false,
  })
  const members: ZipMember[] = []
  const spans: Span[] = []
  let directoryBytes = 0
  for await (const entry of zip.eachEntry()) {
    directoryBytes += 46 + entry.fileNameLength + entry.extraFieldLength + entry.fileCommentLength
    const name = nameOf(entry)
    refuseEscape(entry, name, where)
    const header = await compareHeaders(zip, entry, name, where)
    members.push(describeMember(entry, name, header.dataStart))
    spans.push({
      name: shown(entry, name),
      start: entry.relativeOffsetOfLocalHeader,
      end: header.dataStart + entry.compressedSize,
      descriptor: header.sizesFollow || (entry.generalPurposeBitFlag & 8) !== 0,
    })
  }
  if (directoryBytes !== end.directoryBytes) {
    throw zipError('zip-structure', where, `${where}: its end record and its directory disagree on the number of files`)
  }
  refuseOverlaps(spans, end.directoryStart, where)
  return members
}

class FileReader extends RandomAccessReader {
  readonly #file: OpenFile

  constructor(file: OpenFile) {
    super()
    this.#file = file
  }

  override read(
    buffer: Buffer,
    offset: number,
    length: number,
    position: number,
    callback: (error: Error | null, bytesRead?: number) => void,
  ): void {
    this.#file.read(buffer.subarray(offset, offset + length), position).then((count) => callback(null, count), callback)
  }
}

/**
 * The name as UTF-8 where it is valid UTF-8, flagged or not (some archivers do not set the flag), else by the Unicode
 * path field (APPNOTE 4.6.9) or code page 437 (APPNOTE D.1). Null where the flag says UTF-8 and it is none.
 */
function nameOf(entry: Entry): string | null {
  const flagged = (entry.generalPurposeBitFlag & 0x800) !== 0
  const utf8 = decodeName(entry.fileNameRaw)
  const stated = getFileNameLowLevel(entry.generalPurposeBitFlag, entry.fileNameRaw, entry.extraFields, true)
  if (entry.extraFields.some(({ id }) => id === 0x7075)) return flagged && utf8 !== stated ? null : stated
  return utf8 ?? (flagged ? null : stated)
}

const shown = (entry: Entry, name: string | null): string =>
  showName(name ?? new TextDecoder('latin1').decode(entry.fileNameRaw))

function refuseEscape(entry: Entry, name: string | null, where: string): void {
  const astray = findEscape((name ?? new TextDecoder('latin1').decode(entry.fileNameRaw)).replace(/^\.\/|\/$/g, ''))
  if (astray === null) return
  const path = shown(entry, name)
  throw new IntakeError(
    'unsafe-path',
    path === '' ? where : path,
    `${where}: ${path === '' ? 'an entry' : `the name ${path}`} ${astray}`,
    'Do not unpack this zip. Ask for the files again, packed by an ordinary program.',
  )
}

function describeMember(entry: Entry, name: string | null, dataStart: number): ZipMember {
  const folder = /\/$/.test(name ?? '')
  return {
    name: name === null ? null : name.replace(/^\.\/|\/$/g, ''),
    rawName: entry.fileNameRaw,
    folder,
    kind: kindOf(entry, folder),
    encrypted: entry.isEncrypted(),
    method: entry.compressionMethod,
    packedBytes: entry.compressedSize,
    bytes: entry.uncompressedSize,
    crc32: entry.crc32,
    dataStart,
  }
}

/** The upper half holds a Unix mode (APPNOTE 4.4.15; file types as in POSIX `st_mode`), the lower DOS attributes. */
function kindOf(entry: Entry, folder: boolean): ZipMember['kind'] {
  const type = (entry.externalFileAttributes >>> 16) & 0o170000
  const isReparsePoint = (entry.externalFileAttributes & 0x400) !== 0
  if (type === 0o120000 || isReparsePoint) return 'link'
  if (type === 0 || type === 0o100000) return 'file'
  return type === 0o040000 && folder ? 'file' : 'other'
}

/** Holds a member's local header against the directory, field by field. */
async function compareHeaders(
  zip: ZipFile,
  entry: Entry,
  name: string | null,
  where: string,
): Promise<{ dataStart: number; sizesFollow: boolean }> {
  const local = await zip.readLocalFileHeaderPromise(entry)
  const path = shown(entry, name)
  const differ = (what: string) =>
    zipError('zip-headers-differ', path, `${where}: directory and header of ${path} state different ${what}`)
  if (!local.fileName.equals(entry.fileNameRaw)) throw differ('names')
  if (local.compressionMethod !== entry.compressionMethod) throw differ('compression')
  // Bits 0 encrypted, 5 patch, 6 strongly encrypted, 11 UTF-8, 13 masked.
  if (((local.generalPurposeBitFlag ^ entry.generalPurposeBitFlag) & 0x2861) !== 0) throw differ('flags')
  const sizesFollow = (local.generalPurposeBitFlag & 8) !== 0
  const agrees = (inHeader: number, inDirectory: number) =>
    inHeader === inDirectory || (sizesFollow && inHeader === 0) || inHeader === 0xffffffff
  const wide = readWideSizes(local.extraField)
  if (
    !agrees(local.uncompressedSize, entry.uncompressedSize) ||
    !agrees(local.compressedSize, entry.compressedSize) ||
    (local.uncompressedSize === 0xffffffff && !(sizesFollow && wide[0] === 0) && wide[0] !== entry.uncompressedSize) ||
    (local.compressedSize === 0xffffffff && !(sizesFollow && wide[1] === 0) && wide[1] !== entry.compressedSize)
  ) {
    throw differ('sizes')
  }
  if (local.crc32 !== entry.crc32 && !(sizesFollow && local.crc32 === 0)) throw differ('checksums')
  return { dataStart: local.fileDataStart, sizesFollow }
}

/** Unpacked and packed size from the zip64 field of a local header (APPNOTE 4.5.3), which must hold both. */
function readWideSizes(extra: Uint8Array): [number, number] | [] {
  const view = new DataView(extra.buffer, extra.byteOffset, extra.byteLength)
  for (let at = 0; at + 4 <= extra.length; at += 4 + view.getUint16(at + 2, true)) {
    if (view.getUint16(at, true) === 1 && view.getUint16(at + 2, true) >= 16 && at + 20 <= extra.length) {
      return [Number(view.getBigUint64(at + 4, true)), Number(view.getBigUint64(at + 12, true))]
    }
  }
  return []
}

interface Span {
  name: string
  start: number
  end: number
  descriptor: boolean
}

/** The members must fill the zip from its first byte to its directory, one after the other. */
function refuseOverlaps(spans: Span[], directoryStart: number, where: string): void {
  const ordered = spans.toSorted((a, b) => a.start - b.start)
  let end = 0
  let descriptor = false
  for (const span of [
    ...ordered,
    { name: 'its directory', start: directoryStart, end: directoryStart, descriptor: false },
  ]) {
    const gap = span.start - end
    if (gap < 0) throw zipError('zip-overlap', where, `${where}: ${span.name} shares bytes with another entry`)
    if (gap > 0 && !(descriptor && descriptorBytes.includes(gap))) {
      throw zipError('zip-structure', where, `${where} holds ${gap} bytes before ${span.name} that belong to no file`)
    }
    end = span.end
    descriptor = span.descriptor
  }
}
