/**
 * The end of a zip file (PKWARE APPNOTE 6.3.10, 4.3.14 to 4.3.16), as strict as one reading demands:
 *
 *     … files … | central directory | [zip64 end record | zip64 locator] | end record | comment
 *
 * with nothing between, nothing after, and no second end record from the directory on. A file that several programs
 * would open differently is refused.
 */
import { IntakeError, type IntakeErrorCode } from './errors.ts'
import type { OpenFile } from './storage.ts'

export interface ZipEnd {
  entries: number
  /** Where the central directory starts and how long it is. */
  directoryStart: number
  directoryBytes: number
}

const endSignature = 0x06054b50
const endBytes = 22
const locatorSignature = 0x07064b50
const locatorBytes = 20
const end64Signature = 0x06064b50
const end64Bytes = 56
const longestComment = 0xffff

/** @throws IntakeError `zip-truncated`, `zip-structure`. */
export async function findZipEnd(file: OpenFile, where: string): Promise<ZipEnd> {
  const tailStart = Math.max(0, file.bytes - endBytes - longestComment)
  const tail = await readExactly(file, tailStart, file.bytes - tailStart, where)
  const at = findLastSignature(tail)
  if (at < 0) {
    throw zipError('zip-truncated', where, `${where} has no end: it was cut off, or is not a zip`)
  }
  const view = new DataView(tail.buffer, at)
  if (at + endBytes + view.getUint16(20, true) !== tail.length || countCompleteEnds(tail) > 1) {
    throw zipError('zip-structure', where, `${where} has a second end record, or bytes after its end`)
  }
  const end = await readEnd64(file, tailStart + at, where, {
    disk: view.getUint16(4, true) | view.getUint16(6, true),
    entriesHere: view.getUint16(8, true),
    entries: view.getUint16(10, true),
    directoryBytes: view.getUint32(12, true),
    directoryStart: view.getUint32(16, true),
    recordStart: tailStart + at,
  })
  if (end.disk !== 0 || end.entriesHere !== end.entries) {
    throw zipError('zip-structure', where, `${where} is one part of a zip in several parts`)
  }
  if (end.directoryStart + end.directoryBytes !== end.recordStart) {
    throw zipError('zip-structure', where, `${where}: its directory is not where its end record says`)
  }
  return end
}

interface EndFields extends ZipEnd {
  disk: number
  entriesHere: number
  /** Where the first of the end records starts. */
  recordStart: number
}

/** Replaces the fields by those of the zip64 record where there is one; both must tell the same. */
async function readEnd64(file: OpenFile, endStart: number, where: string, end: EndFields): Promise<EndFields> {
  if (endStart < locatorBytes) return end
  const locator = new DataView((await readExactly(file, endStart - locatorBytes, locatorBytes, where)).buffer)
  if (locator.getUint32(0, true) !== locatorSignature) return end
  const recordStart = Number(locator.getBigUint64(8, true))
  if (recordStart + end64Bytes > endStart - locatorBytes) {
    throw zipError('zip-structure', where, `${where}: its zip64 end record is not where it should be`)
  }
  const record = new DataView((await readExactly(file, recordStart, end64Bytes, where)).buffer)
  const size = Number(record.getBigUint64(4, true))
  if (record.getUint32(0, true) !== end64Signature || recordStart + 12 + size !== endStart - locatorBytes) {
    throw zipError('zip-structure', where, `${where}: its zip64 end record is damaged`)
  }
  const wide: EndFields = {
    disk: record.getUint32(16, true) | record.getUint32(20, true),
    entriesHere: Number(record.getBigUint64(24, true)),
    entries: Number(record.getBigUint64(32, true)),
    directoryBytes: Number(record.getBigUint64(40, true)),
    directoryStart: Number(record.getBigUint64(48, true)),
    recordStart,
  }
  const agrees =
    sameUnlessFull(end.entries, wide.entries, 0xffff) &&
    sameUnlessFull(end.directoryBytes, wide.directoryBytes, 0xffffffff) &&
    sameUnlessFull(end.directoryStart, wide.directoryStart, 0xffffffff)
  if (!agrees) throw zipError('zip-structure', where, `${where}: its two end records differ`)
  return wide
}

/** A full narrow field means: see the wide one. */
const sameUnlessFull = (narrow: number, wide: number, full: number): boolean => narrow === full || narrow === wide

/** Refuses an end record's signature inside the directory: another program might start there. */
export async function refuseHiddenEnd(file: OpenFile, end: ZipEnd, where: string): Promise<void> {
  const directory = await readExactly(file, end.directoryStart, end.directoryBytes, where)
  if (findLastSignature(directory) >= 0) {
    throw zipError('zip-structure', where, `${where} has a second end record inside its directory`)
  }
}

function findLastSignature(bytes: Uint8Array): number {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  for (let at = bytes.length - endBytes; at >= 0; at -= 1) {
    if (view.getUint32(at, true) === endSignature) return at
  }
  return -1
}

/** End records whose comment reaches to the last byte; a program that looks from the front would take the first. */
function countCompleteEnds(tail: Uint8Array): number {
  const view = new DataView(tail.buffer, tail.byteOffset, tail.byteLength)
  let count = 0
  for (let at = 0; at + endBytes <= tail.length; at += 1) {
    if (view.getUint32(at, true) !== endSignature) continue
    if (at + endBytes + view.getUint16(at + 20, true) === tail.length) count += 1
  }
  return count
}

/** Exactly `length` bytes. @throws IntakeError `zip-truncated` where the file ends before. */
export async function readExactly(
  file: OpenFile,
  position: number,
  length: number,
  where: string,
): Promise<Uint8Array<ArrayBuffer>> {
  const bytes = new Uint8Array(length)
  for (let filled = 0; filled < length; ) {
    const count = await file.read(bytes.subarray(filled), position + filled)
    if (count === 0) throw zipError('zip-truncated', where, `${where} ends before its content does`)
    filled += count
  }
  return bytes
}

/** The error for a zip that cannot be trusted. */
export const zipError = (code: IntakeErrorCode, where: string, message: string, cause?: unknown): IntakeError =>
  new IntakeError(
    code,
    where,
    message,
    code === 'zip-truncated'
      ? 'Copy or download it again; or put the unpacked files into a folder and check that.'
      : 'Pack the files again with an ordinary program; or put them into a folder and check that.',
    cause === undefined ? undefined : { cause },
  )
