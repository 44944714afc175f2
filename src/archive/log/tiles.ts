/**
 * Logs in tiles (C2SP tlog-tiles): the hashes of a Merkle tree in files of 256, and its entries in bundles of as many.
 *
 *     tile/<level>/<index>[.p/<width>]      hashes, 32 bytes each
 *     tile/entries/<index>[.p/<width>]      entries, each after its length in two bytes, big-endian
 *
 * Tiles of level 0 hold the hashes of leaves; a hash of level l stands for a full tile of level l - 1. Indexes are written
 * in groups of three digits, all but the last after an x: 1234067 is x001/x234/067. The last tile of a level is partial
 * and has its width in its name; a tile once written never changes.
 */
import { hashBytes, hashLeaf, hashNode, type Node } from './merkle.ts'

/** Hashes in a full tile, and entries in a full bundle. */
export const tileWidth = 256

export interface Tile {
  /** Of hashes, from 0; or of entries. */
  level: number | 'entries'
  index: number
  /** 1 to 256. */
  width: number
}

/** Where a tile stands, below the folder of its log. */
export function tilePath({ level, index, width }: Tile): string {
  const groups = [String(index % 1000).padStart(3, '0')]
  for (let rest = Math.floor(index / 1000); rest > 0; rest = Math.floor(rest / 1000))
    groups.unshift(`x${String(rest % 1000).padStart(3, '0')}`)
  return `tile/${level}/${groups.join('/')}${width < tileWidth ? `.p/${width}` : ''}`
}

/** How many hashes a level has in a tree of `size` leaves. */
const hashesOf = (level: number, size: number): number => Math.floor(size / tileWidth ** level)

/** The tile of that index as it is in a tree of `size` leaves; null where the tree does not reach it. */
export function tileAt(level: Tile['level'], index: number, size: number): Tile | null {
  const width = Math.min(tileWidth, hashesOf(level === 'entries' ? 0 : level, size) - index * tileWidth)
  return width > 0 ? { level, index, width } : null
}

/** The tiles that differ between a tree of `before` leaves and one of `after`: lower levels first, entries before all. */
export function tilesToWrite(before: number, after: number): Tile[] {
  const tiles: Tile[] = []
  const add = (level: Tile['level'], from: number, to: number) => {
    for (let index = Math.floor(from / tileWidth); index * tileWidth < to; index++)
      tiles.push({ level, index, width: Math.min(tileWidth, to - index * tileWidth) })
  }
  if (after > before) add('entries', before, after)
  for (let level = 0; hashesOf(level, after) > hashesOf(level, before); level++)
    add(level, hashesOf(level, before), hashesOf(level, after))
  return tiles
}

/** Where the hash of a whole subtree comes from: a tile, and which of its hashes make it, `first` to before `end`. */
export function tileOfNode({ level, index }: Node): { level: number; index: number; first: number; end: number } {
  const tileLevel = Math.floor(level / 8)
  const hashes = 2 ** (level - tileLevel * 8)
  const at = index * hashes
  const first = at % tileWidth
  return { level: tileLevel, index: Math.floor(at / tileWidth), first, end: first + hashes }
}

/** The root of a whole subtree over hashes that stand beside each other: 1, 2, 4 … 256 of them. */
export function hashRun(run: Uint8Array): Uint8Array {
  let hashes = Array.from({ length: run.length / hashBytes }, (_, at) =>
    run.subarray(at * hashBytes, (at + 1) * hashBytes),
  )
  while (hashes.length > 1)
    hashes = Array.from({ length: hashes.length / 2 }, (_, at) => {
      const [left, right] = [hashes[at * 2], hashes[at * 2 + 1]]
      if (left === undefined || right === undefined)
        throw new RangeError('A whole subtree has a power of two of hashes')
      return hashNode(left, right)
    })
  return Uint8Array.from(hashes[0] ?? [])
}

/** An entry has at most so many bytes. */
export const mostEntryBytes = 0xffff

/** Throws RangeError for an entry that is too long. */
export function formatBundle(entries: readonly Uint8Array[]): Uint8Array {
  return Buffer.concat(
    entries.flatMap((entry) => {
      if (entry.length > mostEntryBytes) throw new RangeError(`An entry has at most ${mostEntryBytes} bytes`)
      return [Uint8Array.of(entry.length >> 8, entry.length & 0xff), entry]
    }),
  )
}

/** The entries of a bundle; null where its lengths do not add up. */
export function parseBundle(bytes: Uint8Array): Uint8Array[] | null {
  const entries: Uint8Array[] = []
  for (let at = 0; at < bytes.length; ) {
    const length = ((bytes[at] ?? 0) << 8) | (bytes[at + 1] ?? 0)
    const end = at + 2 + length
    if (at + 2 > bytes.length || end > bytes.length) return null
    entries.push(bytes.subarray(at + 2, end))
    at = end
  }
  return entries
}

/** Hashes of leaves, beside each other. */
export const hashEntries = (entries: readonly Uint8Array[]): Uint8Array => Buffer.concat(entries.map(hashLeaf))
