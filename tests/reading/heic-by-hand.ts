/** A HEIC file turned by quarters: an `irot` property (ISO/IEC 23008-12, 6.5.10) is added to its only picture. */

interface Found {
  start: number
  size: number
}

/** The first box of a type within a file that holds each of them once; `start` is that of its size. */
function find(bytes: Buffer, type: string): Found {
  const start = bytes.indexOf(type, 0, 'latin1') - 4
  return { start, size: bytes.readUInt32BE(start) }
}

/** `quarters` anticlockwise. In the file the picture that is meant stands last in `ipma`, and `mdat` after `meta`. */
export function turnHeic(file: Uint8Array, quarters: number): Uint8Array {
  const bytes = Buffer.from(file)
  const [meta, iprp, ipco, ipma] = ['meta', 'iprp', 'ipco', 'ipma'].map((type) => find(bytes, type)) as [
    Found,
    Found,
    Found,
    Found,
  ]
  const properties = countBoxes(bytes.subarray(ipco.start + 8, ipco.start + ipco.size))
  const rotation = Buffer.from([0, 0, 0, 9, ...Buffer.from('irot', 'latin1'), quarters])
  const added = rotation.length + 1
  for (const { start, size } of [meta, iprp]) bytes.writeUInt32BE(size + added, start)
  bytes.writeUInt32BE(ipco.size + rotation.length, ipco.start)
  bytes.writeUInt32BE(ipma.size + 1, ipma.start)
  shiftExtents(bytes, added)
  const count = findLastCount(bytes, ipma.start + 12)
  bytes.writeUInt8(bytes.readUInt8(count) + 1, count)
  return Uint8Array.from(
    Buffer.concat([
      bytes.subarray(0, ipco.start + ipco.size),
      rotation,
      bytes.subarray(ipco.start + ipco.size, ipma.start + ipma.size),
      // Essential (23008-12, 9.3.1), and its number.
      Buffer.from([0x80 | (properties + 1)]),
      bytes.subarray(ipma.start + ipma.size),
    ]),
  )
}

function countBoxes(content: Buffer): number {
  let count = 0
  for (let at = 0; at < content.length; at += content.readUInt32BE(at)) count++
  return count
}

/** Where the number of the last item's properties stands (23008-12, 9.3.2, version 0, numbers of one byte). */
function findLastCount(bytes: Buffer, entries: number): number {
  let at = entries + 6
  for (let left = bytes.readUInt32BE(entries); left > 1; left--) at += 3 + bytes.readUInt8(at)
  return at
}

/** ISO/IEC 14496-12, 8.11.3, version 1, offsets, lengths and bases of four bytes: an item's extents count from its base. */
function shiftExtents(bytes: Buffer, by: number): void {
  const { start } = find(bytes, 'iloc')
  let at = start + 16
  for (let items = bytes.readUInt16BE(start + 14); items > 0; items--) {
    const inFile = bytes.readUInt16BE(at + 2) === 0
    if (inFile) bytes.writeUInt32BE(bytes.readUInt32BE(at + 6) + by, at + 6)
    at += 12 + 8 * bytes.readUInt16BE(at + 10)
  }
}
