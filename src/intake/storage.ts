/**
 * What intake needs of the place where a packet stands. `src/io/files.ts` implements it on a file system.
 *
 * Every method rejects with an error that carries the system's `code` (`ENOENT`, `EACCES`, `ELOOP`, …).
 */
export interface Storage {
  /** Looks at what the user named, following links: the user chose it. `path` of the answer has no links left. */
  look(path: string): Promise<Sight & { path: string }>
  /**
   * What stands directly in a folder, in any order, following no link. Stops after `most` entries and one. Rejects with
   * code `ESTALE` when something else than `identity` now stands there.
   */
  list(folder: string, identity: string, most: number): Promise<Listing[]>
  /** Opens a file for reading; follows no link and waits for no pipe. `ESTALE` as above, also for what is no file. */
  open(path: string, identity: string): Promise<OpenFile>
}

export interface Sight {
  kind: 'file' | 'folder' | 'link' | 'other'
  /** Size of a file in bytes, else 0. */
  bytes: number
  /** The same for the same object only. */
  identity: string
}

export interface Listing extends Sight {
  /** As stored; UTF-8 where all is well. */
  name: Uint8Array
  /** To be handed back to `list` and `open`. */
  path: string
  /** Set when the entry could not even be looked at. */
  trouble?: string
}

export interface OpenFile {
  /** Size when opened. */
  bytes: number
  /** Fills `target` from `position` on; returns how many bytes there were, 0 at the end. */
  read(target: Uint8Array, position: number): Promise<number>
  close(): Promise<void>
}
