/**
 * A log that can only grow, in a folder: entries and hashes in tiles (`tiles.ts`), and a signed checkpoint that says which
 * of them count. Nothing counts before the checkpoint names it, and the checkpoint is replaced in one step: a log that was
 * interrupted stands as it stood before.
 */
import { type Checkpoint, formatCheckpoint, parseCheckpoint } from './checkpoint.ts'
import { emptyRoot, hashBytes, type Nodes, proveConsistency, proveInclusion, rootOf } from './merkle.ts'
import {
  formatNote,
  NoteError,
  type NoteKey,
  type NoteSigner,
  parseNote,
  type SignatureLine,
  type Signed,
  signText,
  verifyNote,
} from './note.ts'
import type { InclusionProof } from './proof-text.ts'
import {
  formatBundle,
  hashEntries,
  hashRun,
  parseBundle,
  type Tile,
  tileAt,
  tileOfNode,
  tilePath,
  tilesToWrite,
  tileWidth,
} from './tiles.ts'

/** Where a log stands. Paths are relative and use `/`. */
export interface LogStorage {
  /** Null where nothing stands. */
  read(path: string): Promise<Uint8Array | null>
  /** Written whole and durably, or not at all; replaces what stands there. */
  write(path: string, bytes: Uint8Array): Promise<void>
  /** Every file below the log's folder. */
  list(): Promise<string[]>
  remove(path: string): Promise<void>
}

/** A log as a checkpoint says it is. */
export interface Head extends Checkpoint {
  /** The checkpoint as it is signed. */
  note: Uint8Array
  signed: Signed[]
}

/** A log that is not what its checkpoint says; the message says what differs. */
export class LogError extends Error {
  override name = 'LogError'
}

export const checkpointPath = 'checkpoint'

/** Begins a log where none is: an empty one, with a checkpoint that says so. */
export async function beginLog(storage: LogStorage, signer: NoteSigner): Promise<Head> {
  if ((await storage.read(checkpointPath)) !== null) throw new LogError('A log stands here already')
  return writeCheckpoint(storage, signer, { size: 0, root: emptyRoot() })
}

async function writeCheckpoint(
  storage: LogStorage,
  signer: NoteSigner,
  { size, root }: Omit<Checkpoint, 'origin'>,
): Promise<Head> {
  const text = formatCheckpoint({ origin: signer.key.name, size, root })
  const note = formatNote({ text, lines: [signText(text, signer)] })
  await storage.write(checkpointPath, note)
  return readHead(note, signer.key)
}

/**
 * Reads a checkpoint and verifies its signatures: that of the log's key must be there, those of `witnesses` may be. Throws
 * NoteError.
 */
export function readHead(note: Uint8Array, key: NoteKey, witnesses: readonly NoteKey[] = []): Head {
  const parsed = parseNote(note)
  const signed = verifyNote(parsed, [key, ...witnesses])
  if (!signed.some((one) => one.key === key)) throw new NoteError(`The checkpoint is not signed by ${key.name}`)
  const checkpoint = parseCheckpoint(parsed.text)
  if (checkpoint.origin !== key.name)
    throw new NoteError(`The checkpoint is of the log ${checkpoint.origin}, not of ${key.name}`)
  return { ...checkpoint, note, signed }
}

/** Opens the log of `key`. Throws LogError where none stands, NoteError where its checkpoint does not hold. */
export async function openLog(storage: LogStorage, key: NoteKey, witnesses: readonly NoteKey[] = []): Promise<Head> {
  const note = await storage.read(checkpointPath)
  if (note === null) throw new LogError('The log has lost its checkpoint')
  return readHead(note, key, witnesses)
}

/** Adds the cosignature of a witness to the checkpoint that stands, which must be the one that was cosigned. */
export async function addCosignature(storage: LogStorage, head: Head, line: SignatureLine): Promise<void> {
  const { text, lines } = parseNote(head.note)
  const others = lines.filter(({ name, id }) => name !== line.name || id !== line.id)
  await storage.write(checkpointPath, formatNote({ text, lines: [...others, line] }))
}

/**
 * Appends entries, all or none, and gives the new head. One writer at a time, which is the caller's to see to. An entry
 * has at most 65,535 bytes.
 */
export async function appendEntries(
  storage: LogStorage,
  signer: NoteSigner,
  head: Head,
  entries: readonly Uint8Array[],
): Promise<Head> {
  if (entries.length === 0) return head
  const size = head.size + entries.length
  const tiles = tilesToWrite(head.size, size)
  const fresh = new Map<string, Uint8Array>()
  for (const tile of tiles) {
    const bytes = await makeTile(storage, head.size, tile, entries, fresh)
    fresh.set(tilePath(tile), bytes)
    await storage.write(tilePath(tile), bytes)
  }
  const root = await rootOf(size, nodesOf(storage, size, fresh))
  const next = await writeCheckpoint(storage, signer, { size, root })
  await removeOutgrown(storage, head.size, tiles)
  return next
}

/** A tile as it is after entries were added: what it held before, and what is new. */
async function makeTile(
  storage: LogStorage,
  before: number,
  tile: Tile,
  entries: readonly Uint8Array[],
  fresh: ReadonlyMap<string, Uint8Array>,
): Promise<Uint8Array> {
  const { level, index, width } = tile
  const old = tileAt(level, index, before)
  const held = old === null ? new Uint8Array() : await readTile(storage, old)
  const from = index * tileWidth + (old?.width ?? 0)
  const to = index * tileWidth + width
  if (level === 'entries') return Buffer.concat([held, formatBundle(entries.slice(from - before, to - before))])
  if (level === 0) return Buffer.concat([held, hashEntries(entries.slice(from - before, to - before))])
  const below = Array.from({ length: to - from }, (_, at) =>
    fresh.get(tilePath({ level: level - 1, index: from + at, width: tileWidth })),
  )
  return Buffer.concat([held, ...below.map((run) => hashRun(run ?? new Uint8Array()))])
}

async function readTile(storage: LogStorage, tile: Tile): Promise<Uint8Array> {
  const path = tilePath(tile)
  const bytes = await storage.read(path)
  if (bytes === null) throw new LogError(`The log has lost ${path}`)
  if (tile.level !== 'entries' && bytes.length !== tile.width * hashBytes)
    throw new LogError(`${path} has ${bytes.length} bytes, not ${tile.width * hashBytes}`)
  return bytes
}

/** Narrower forms of tiles that are full now. Whether they go is of no account: what stays is a part of the full tile. */
async function removeOutgrown(storage: LogStorage, before: number, tiles: readonly Tile[]): Promise<void> {
  for (const { level, index, width } of tiles) {
    const old = tileAt(level, index, before)
    if (width < tileWidth || old === null) continue
    for (let narrow = 1; narrow < tileWidth; narrow++) await storage.remove(tilePath({ level, index, width: narrow }))
  }
}

/** The hashes of whole subtrees of a log of `size` entries. `fresh`: tiles that need not be read, by path. */
function nodesOf(storage: LogStorage, size: number, fresh: ReadonlyMap<string, Uint8Array> = new Map()): Nodes {
  const read = new Map<string, Promise<Uint8Array>>()
  return async (node) => {
    const { level, index, first, end } = tileOfNode(node)
    const tile = tileAt(level, index, size)
    if (tile === null || end > tile.width) throw new LogError(`A log of ${size} entries has no such hash`)
    const path = tilePath(tile)
    const bytes = fresh.get(path) ?? (await (read.get(path) ?? keep(read, path, readTile(storage, tile))))
    return hashRun(bytes.subarray(first * hashBytes, end * hashBytes))
  }
}

function keep<Value>(map: Map<string, Value>, key: string, value: Value): Value {
  map.set(key, value)
  return value
}

/** Gives the entries from `start` to before `end`, in their order, a bundle at a time. Throws LogError. */
export async function* readEntries(
  storage: LogStorage,
  head: Head,
  start = 0,
  end = head.size,
): AsyncGenerator<{ index: number; entry: Uint8Array }> {
  for (let at = start; at < Math.min(end, head.size); ) {
    const bundle = Math.floor(at / tileWidth)
    const entries = await readBundle(storage, head, bundle)
    for (; at < Math.min(end, head.size) && Math.floor(at / tileWidth) === bundle; at++) {
      const entry = entries[at % tileWidth]
      if (entry !== undefined) yield { index: at, entry }
    }
  }
}

/** Gives some entries, in the order asked for; a bundle is read once where its entries follow one another. Throws LogError. */
export async function* readSome(
  storage: LogStorage,
  head: Head,
  indexes: readonly number[],
): AsyncGenerator<{ index: number; entry: Uint8Array }> {
  let [held, entries]: [number | null, Uint8Array[]] = [null, []]
  for (const index of indexes) {
    const bundle = Math.floor(index / tileWidth)
    if (bundle !== held) [held, entries] = [bundle, await readBundle(storage, head, bundle)]
    const entry = entries[index % tileWidth]
    if (entry === undefined) throw new LogError(`A log of ${head.size} entries has none of number ${index}`)
    yield { index, entry }
  }
}

/** The bytes of one entry; throws LogError where the log does not reach it. */
export async function entryBytes(storage: LogStorage, head: Head, index: number): Promise<Uint8Array> {
  for await (const { entry } of readEntries(storage, head, index, index + 1)) return entry
  throw new LogError(`A log of ${head.size} entries has none of number ${index}`)
}

/** A bundle whose entries are those that the tile of their hashes says. */
async function readBundle(storage: LogStorage, head: Head, index: number): Promise<Uint8Array[]> {
  const [bundle, tile] = [tileAt('entries', index, head.size), tileAt(0, index, head.size)]
  if (bundle === null || tile === null) throw new LogError(`A log of ${head.size} entries has no bundle ${index}`)
  const entries = parseBundle(await readTile(storage, bundle))
  const hashes = await readTile(storage, tile)
  if (entries?.length !== bundle.width || Buffer.compare(hashEntries(entries), hashes) !== 0)
    throw new LogError(`Entries in ${tilePath(bundle)} are not those that were logged`)
  return entries
}

/** Proves that entry `index` stands in the log, to whoever knows the log's key. */
export async function proveEntry(storage: LogStorage, head: Head, index: number): Promise<InclusionProof> {
  const hashes = await proveInclusion(index, head.size, nodesOf(storage, head.size))
  return { index, hashes, checkpoint: head.note }
}

/** Proves that the log of `head` continues the log as it was with `size` entries. */
export const proveContinuation = (storage: LogStorage, head: Head, size: number): Promise<Uint8Array[]> =>
  proveConsistency(size, head.size, nodesOf(storage, head.size))

/** The root that the log had when it held `size` entries. */
export const rootAt = (storage: LogStorage, head: Head, size: number): Promise<Uint8Array> =>
  rootOf(size, nodesOf(storage, head.size))
