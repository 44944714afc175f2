/** Writes zips byte by byte (PKWARE APPNOTE 6.3.10), so that any field of any header can lie. */
import { crc32, deflateRawSync } from 'node:zlib'

export interface CraftedEntry {
  name: string | Uint8Array
  data?: Uint8Array | string
  /** 8 deflates; anything else stores the bytes as they are. */
  method?: number
  flags?: number
  /** Unix mode, set in the upper half of the external attributes. */
  mode?: number
  extra?: Uint8Array
  /** Replaces the packed bytes. */
  packed?: Uint8Array
  crc?: number
  bytes?: number
  packedBytes?: number
  /** Where the directory says that the entry starts. */
  offset?: number
  /** Fields of the local header that differ from the directory. */
  local?: { name?: string; method?: number; flags?: number; bytes?: number; packedBytes?: number; crc?: number }
  /** Adds a data descriptor after the content. */
  descriptor?: boolean
  /** Lists the entry in the directory only. */
  hidden?: boolean
}

export interface CraftedZip {
  entries: CraftedEntry[]
  comment?: Uint8Array
  /** Before the first entry, between content and directory, between directory and end record, after all. */
  before?: Uint8Array
  beforeDirectory?: Uint8Array
  beforeEnd?: Uint8Array
  after?: Uint8Array
  end?: { entries?: number; entriesHere?: number; disk?: number; directoryBytes?: number; directoryStart?: number }
}

const encode = (text: string | Uint8Array): Buffer => Buffer.from(text as string)

function words(...fields: [size: 2 | 4, value: number][]): Buffer {
  return Buffer.concat(
    fields.map(([size, value]) => {
      const bytes = Buffer.alloc(size)
      if (size === 2) bytes.writeUInt16LE(value)
      else bytes.writeUInt32LE(value >>> 0)
      return bytes
    }),
  )
}

/** `PK` 5 6: the end record, for planting where it does not belong. */
export const endRecord = (entries = 0, directoryBytes = 0, directoryStart = 0, commentBytes = 0): Buffer =>
  words(
    [4, 0x06054b50],
    [2, 0],
    [2, 0],
    [2, entries],
    [2, entries],
    [4, directoryBytes],
    [4, directoryStart],
    [2, commentBytes],
  )

export function craftZip(zip: CraftedZip): Buffer {
  const parts: Buffer[] = [encode(zip.before ?? '')]
  const directory: Buffer[] = []
  const position = () => parts.reduce((sum, part) => sum + part.length, 0)
  for (const entry of zip.entries) {
    const start = position()
    const fields = describe(entry)
    if (!entry.hidden) parts.push(localHeader(entry, fields), fields.packed)
    if (entry.descriptor)
      parts.push(words([4, 0x08074b50], [4, fields.crc], [4, fields.packedBytes], [4, fields.bytes]))
    directory.push(centralHeader(entry, fields, entry.offset ?? start))
  }
  parts.push(encode(zip.beforeDirectory ?? ''))
  const directoryStart = position()
  const listing = Buffer.concat(directory)
  const comment = encode(zip.comment ?? '')
  parts.push(listing, encode(zip.beforeEnd ?? ''))
  parts.push(
    words(
      [4, 0x06054b50],
      [2, zip.end?.disk ?? 0],
      [2, zip.end?.disk ?? 0],
      [2, zip.end?.entriesHere ?? zip.end?.entries ?? zip.entries.length],
      [2, zip.end?.entries ?? zip.entries.length],
      [4, zip.end?.directoryBytes ?? listing.length],
      [4, zip.end?.directoryStart ?? directoryStart],
      [2, comment.length],
    ),
    comment,
    encode(zip.after ?? ''),
  )
  return Buffer.concat(parts)
}

interface Fields {
  name: Buffer
  packed: Buffer
  method: number
  flags: number
  crc: number
  bytes: number
  packedBytes: number
}

function describe(entry: CraftedEntry): Fields {
  const data = encode(entry.data ?? '')
  const method = entry.method ?? 0
  const packed = encode(entry.packed ?? (method === 8 ? deflateRawSync(data) : data))
  return {
    name: encode(entry.name),
    packed,
    method,
    flags: (entry.flags ?? 0x800) | (entry.descriptor ? 8 : 0),
    crc: entry.crc ?? crc32(data),
    bytes: entry.bytes ?? data.length,
    packedBytes: entry.packedBytes ?? packed.length,
  }
}

function localHeader(entry: CraftedEntry, fields: Fields): Buffer {
  const name = encode(entry.local?.name ?? fields.name)
  const blank = entry.descriptor ? 0 : undefined
  return Buffer.concat([
    words(
      [4, 0x04034b50],
      [2, 20],
      [2, entry.local?.flags ?? fields.flags],
      [2, entry.local?.method ?? fields.method],
      [2, 0],
      [2, 0x5a21],
      [4, entry.local?.crc ?? blank ?? fields.crc],
      [4, entry.local?.packedBytes ?? blank ?? fields.packedBytes],
      [4, entry.local?.bytes ?? blank ?? fields.bytes],
      [2, name.length],
      [2, 0],
    ),
    name,
  ])
}

function centralHeader(entry: CraftedEntry, fields: Fields, offset: number): Buffer {
  const extra = encode(entry.extra ?? '')
  return Buffer.concat([
    words(
      [4, 0x02014b50],
      [2, 0x0314],
      [2, 20],
      [2, fields.flags],
      [2, fields.method],
      [2, 0],
      [2, 0x5a21],
      [4, fields.crc],
      [4, fields.packedBytes],
      [4, fields.bytes],
      [2, fields.name.length],
      [2, extra.length],
      [2, 0],
      [2, 0],
      [2, 0],
      [4, (entry.mode ?? 0o100644) << 16],
      [4, offset],
    ),
    fields.name,
    extra,
  ])
}
