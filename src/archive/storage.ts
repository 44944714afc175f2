/** Where an archive stands; `src/io/archive/` fulfils this on a file system. */
import type { LogStorage } from './log/log.ts'

export interface StoredObject {
  /** SHA-256, lower-case hexadecimal: its name. */
  sha256: string
  bytes: number
}

/** Contents by their digests. What is put is on the disk, whole, when the promise resolves; nothing is ever half there. */
export interface ObjectStorage {
  /**
   * Keeps a content. One that is kept already is compared with what comes, and mended where it is damaged. What
   * `chunks` throws is thrown, and nothing is kept.
   */
  put(chunks: AsyncIterable<Uint8Array>): Promise<StoredObject>
  /** Its size in bytes; null where there is none of this name. */
  size(sha256: string): Promise<number | null>
  /** From its start, in pieces; a piece is good until the next is asked for. Proves nothing. */
  chunks(sha256: string): AsyncIterable<Uint8Array>
  read(sha256: string, position: number, target: Uint8Array): Promise<number>
  /** Nothing happens where there is none. */
  remove(sha256: string): Promise<void>
  /** Names of all that is kept, in their order. */
  list(): AsyncIterable<string>
  /** What was left half written by a process that died, taken away; how many there were. */
  sweep(): Promise<number>
}

/** A folder that holds an archive. */
export interface ArchiveStorage {
  /** Where it stands, for whoever is told of it. */
  place: string
  log: LogStorage
  objects: ObjectStorage
  /** Small files at the root of the archive: null where there is none; written durably, whole or not at all. */
  readFile(name: string): Promise<Uint8Array | null>
  writeFile(name: string, bytes: Uint8Array): Promise<void>
  /** What stands at its root and is none of an archive's: names, in their order; hidden ones do not count. */
  strangers(): Promise<string[]>
  /** As `writeFile`, where nothing stands, and for the owner's eyes alone. */
  writeSecret(name: string, bytes: Uint8Array): Promise<void>
}
