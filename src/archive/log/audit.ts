/** Goes through a log, every byte of it: entries, hashes of every level, and the root that the checkpoint was signed over. */
import { checkpointPath, type Head, type LogStorage } from './log.ts'
import { emptyRoot, hashBytes, rootOf } from './merkle.ts'
import { formatBundle, hashEntries, hashRun, parseBundle, type Tile, tileAt, tilePath, tileWidth } from './tiles.ts'

export interface LogAudit {
  /** What is not as the checkpoint says; empty for a whole log. */
  faults: string[]
  /** Files of an append that never came to its checkpoint: they count for nothing, and the next one replaces them. */
  unfinished: string[]
}

/** Widths in which a tile stands, by its path without them. */
type Held = Map<string, Set<number>>

/** Compares the whole log with its head. `onEntry` is told of every entry that can be read, in their order. */
export async function auditLog(
  storage: LogStorage,
  head: Head,
  onEntry: (index: number, entry: Uint8Array) => void = () => undefined,
): Promise<LogAudit> {
  const audit: LogAudit = { faults: [], unfinished: [] }
  const held = await findTiles(storage, audit)
  const leaves = await auditEntries(storage, head, held, audit, onEntry)
  if (leaves !== null) await auditHashes(storage, head, leaves, held, audit)
  for (const [stem, widths] of held) for (const width of widths) audit.unfinished.push(pathOf(stem, width))
  return audit
}

const pathOf = (stem: string, width: number): string => (width === tileWidth ? stem : `${stem}.p/${width}`)

async function findTiles(storage: LogStorage, { faults }: LogAudit): Promise<Held> {
  const held: Held = new Map()
  for (const path of await storage.list()) {
    const [, stem, width = String(tileWidth)] = /^(tile\/(?:entries|\d+)\/[x\d/]+)(?:\.p\/(\d+))?$/.exec(path) ?? []
    if (path === checkpointPath) continue
    if (stem === undefined) faults.push(`${path} does not belong to the log`)
    else held.set(stem, (held.get(stem) ?? new Set()).add(Number(width)))
  }
  return held
}

/** Compares every form of a tile that stands with what it must be; those that are looked at are taken off the list. */
async function compareTile(
  storage: LogStorage,
  tile: Tile,
  held: Held,
  { faults }: LogAudit,
  first: (width: number) => Uint8Array,
): Promise<void> {
  const stem = tilePath({ ...tile, width: tileWidth })
  const widths = held.get(stem) ?? new Set()
  if (!widths.has(tile.width)) faults.push(`${tilePath(tile)} is lost`)
  for (const width of [...widths].filter((width) => width <= tile.width)) {
    const bytes = await storage.read(pathOf(stem, width))
    if (bytes === null || Buffer.compare(bytes, first(width)) !== 0)
      faults.push(`${pathOf(stem, width)} is not what was logged`)
    widths.delete(width)
  }
}

/** The hashes of all entries, beside each other; null where some cannot be read. */
async function auditEntries(
  storage: LogStorage,
  head: Head,
  held: Held,
  audit: LogAudit,
  onEntry: (index: number, entry: Uint8Array) => void,
): Promise<Uint8Array | null> {
  const leaves = Buffer.alloc(head.size * hashBytes)
  for (let index = 0; index * tileWidth < head.size; index++) {
    const tile = tileAt('entries', index, head.size)
    if (tile === null) break
    const entries = parseBundle((await storage.read(tilePath(tile))) ?? new Uint8Array())
    if (entries?.length !== tile.width) {
      audit.faults.push(`${tilePath(tile)} does not hold the ${tile.width} entries that were logged`)
      return null
    }
    for (const [at, entry] of entries.entries()) onEntry(index * tileWidth + at, entry)
    leaves.set(hashEntries(entries), index * tileWidth * hashBytes)
    await compareTile(storage, tile, held, audit, (width) => formatBundle(entries.slice(0, width)))
  }
  return leaves
}

async function auditHashes(
  storage: LogStorage,
  head: Head,
  leaves: Uint8Array,
  held: Held,
  audit: LogAudit,
): Promise<void> {
  const levels = [leaves]
  for (let level = 0; (levels[level]?.length ?? 0) > 0; level++) {
    const own = levels[level] ?? new Uint8Array()
    const above: Uint8Array[] = []
    for (let index = 0; index * tileWidth * hashBytes < own.length; index++) {
      const run = own.subarray(index * tileWidth * hashBytes, (index + 1) * tileWidth * hashBytes)
      const tile = { level, index, width: run.length / hashBytes }
      await compareTile(storage, tile, held, audit, (width) => run.subarray(0, width * hashBytes))
      if (tile.width === tileWidth) above.push(hashRun(run))
    }
    levels.push(Buffer.concat(above))
  }
  const root = head.size === 0 ? emptyRoot() : await rootOfLevels(head.size, levels)
  if (Buffer.compare(root, head.root) !== 0)
    audit.faults.push('The entries are not those that the checkpoint was signed over')
}

const rootOfLevels = (size: number, levels: readonly Uint8Array[]): Promise<Uint8Array> =>
  rootOf(size, ({ level, index }) => {
    const tileLevel = Math.floor(level / 8)
    const bytes = 2 ** (level - tileLevel * 8) * hashBytes
    return hashRun((levels[tileLevel] ?? new Uint8Array()).subarray(index * bytes, (index + 1) * bytes))
  })
