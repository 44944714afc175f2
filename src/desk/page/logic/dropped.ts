/** What is dropped on the page or chosen: folders are walked, and every packet among it is told from the others. */

/** The part of a `FileSystemEntry` (WICG, File and Directory Entries API) that is used here. */
export interface Entry<File> {
  isFile: boolean
  isDirectory: boolean
  name: string
  file?(done: (file: File) => void, failed: (error: Error) => void): void
  createReader?(): { readEntries(done: (entries: Entry<File>[]) => void, failed: (error: Error) => void): void }
}

export interface NamedFile<File> {
  /** With `/` between folders, from what was dropped on. */
  path: string
  file: File
}

/** All files below an entry. Rejects where one cannot be read, naming it. */
export async function walkEntry<File>(entry: Entry<File>, above = ''): Promise<NamedFile<File>[]> {
  const path = above === '' ? entry.name : `${above}/${entry.name}`
  try {
    if (entry.isFile && entry.file !== undefined) {
      const file = await new Promise<File>((done, failed) => entry.file?.(done, failed))
      return [{ path, file }]
    }
    const found: NamedFile<File>[] = []
    for (const child of await readAll(entry)) found.push(...(await walkEntry(child, path)))
    return found
  } catch (error) {
    throw error instanceof UnreadableEntry ? error : new UnreadableEntry(path, error)
  }
}

/** A dropped file or folder that the browser cannot read. */
export class UnreadableEntry extends Error {
  constructor(path: string, cause: unknown) {
    super(`${path} cannot be read: ${cause instanceof Error ? cause.message : String(cause)}`, { cause })
    this.name = 'UnreadableEntry'
  }
}

/** A reader gives a folder in portions, and an empty one at its end. */
async function readAll<File>(entry: Entry<File>): Promise<Entry<File>[]> {
  const reader = entry.createReader?.()
  const all: Entry<File>[] = []
  while (reader !== undefined) {
    const portion = await new Promise<Entry<File>[]>((done, failed) => reader.readEntries(done, failed))
    if (portion.length === 0) break
    all.push(...portion)
  }
  return all
}

/** Something to be handed over as one packet. */
export interface PlannedPacket<File> {
  name: string
  form: 'folder' | 'file'
  files: NamedFile<File>[]
}

/**
 * A folder is a packet, and so is a zip; all other files that come loose are one together. Files of a folder are named
 * from the folder on. What file managers leave behind is no evidence and stays out.
 */
export function planPackets<File>(files: readonly NamedFile<File>[], looseName: string): PlannedPacket<File>[] {
  const packets = new Map<string, PlannedPacket<File>>()
  const loose: NamedFile<File>[] = []
  for (const { path, file } of files) {
    const slash = path.indexOf('/')
    if (isLeftBehind(path)) continue
    if (slash === -1) {
      if (/\.zip$/i.test(path)) packets.set(`${path}/`, { name: path, form: 'file', files: [{ path, file }] })
      else loose.push({ path, file })
      continue
    }
    const name = path.slice(0, slash)
    const packet = packets.get(name) ?? { name, form: 'folder', files: [] }
    packet.files.push({ path: path.slice(slash + 1), file })
    packets.set(name, packet)
  }
  const [only] = loose
  if (loose.length === 1 && only !== undefined) packets.set('/', { name: only.path, form: 'file', files: loose })
  else if (loose.length > 1) packets.set('/', { name: looseName, form: 'folder', files: loose })
  return [...packets.values()]
}

const isLeftBehind = (path: string): boolean =>
  /(^|\/)(\.DS_Store|Thumbs\.db|desktop\.ini|\._[^/]*)$|(^|\/)__MACOSX\//i.test(path)
