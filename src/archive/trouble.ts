/** What stops a write, told so that a person can mend it: what, where, and whether the act counts. */
import { ArchiveError } from './archive-error.ts'
import type { ArchiveStorage } from './storage.ts'

/** `full`: also where a quota or a limit on the size of files is reached. `in-the-way`: a file where a folder belongs, or the reverse. */
export type Trouble = 'busy' | 'full' | 'read-only' | 'in-the-way'

const words: Readonly<Record<Trouble, (place: string) => readonly [message: string, mend: string]>> = {
  busy: (place) => [`Another process is writing to ${place}`, 'Try again when it has finished.'],
  full: (place) => [
    `The disk takes no more at ${place}: it is full, or a limit is reached. The act was not done`,
    'Make room there, or lift the limit, and try again.',
  ],
  'read-only': (place) => [
    `The system lets you read or write no further at ${place}. The act was not done`,
    'Allow yourself to read and to write it and what stands in it, and try again.',
  ],
  'in-the-way': (place) => [
    `At ${place}, in it or on the way to it stands a file where a folder belongs, or a folder where a file does. The act was not done`,
    'Name a folder, or one that does not exist yet, or take away what stands there.',
  ],
}

export function tellTrouble(trouble: Trouble, place: string, cause: unknown): ArchiveError {
  const [message, mend] = words[trouble](place)
  return new ArchiveError(trouble, message, mend, { cause })
}

/** Of an act that its log has, whatever failed behind it: to do it again would do it twice. */
export function tellLogged(place: string, error: unknown): ArchiveError {
  // What a told error says of the act is not so here.
  const cause = error instanceof ArchiveError ? (error.cause ?? error) : error
  return new ArchiveError(
    'unfinished',
    `The act stands in the log at ${place}, but what follows it there could not be finished: ${cause instanceof Error ? cause.message : cause}`,
    'Make room there and allow yourself to write. Do not do it again: the register catches up when the archive is opened next.',
    { cause },
  )
}

/** The storage, which rejects with ArchiveError `full`, `read-only` or `in-the-way` where the place is. */
export function tellingStorage({
  storage,
  troubleOf,
}: {
  storage: ArchiveStorage
  troubleOf(error: unknown): Trouble | null
}): ArchiveStorage {
  const { place, log, objects } = storage
  const tell = async <Result>(work: Promise<Result>, isOther: (error: unknown) => boolean = () => false) =>
    work.catch((error) => {
      const trouble = isOther(error) ? null : troubleOf(error)
      throw trouble === null ? error : tellTrouble(trouble, place, error)
    })
  return {
    place,
    log: {
      read: (path) => tell(log.read(path)),
      list: () => tell(log.list()),
      write: (path, bytes) => tell(log.write(path, bytes)),
      remove: (path) => tell(log.remove(path)),
    },
    objects: {
      size: (sha256) => tell(objects.size(sha256)),
      chunks: (sha256) => objects.chunks(sha256),
      read: (sha256, position, target) => tell(objects.read(sha256, position, target)),
      list: () => objects.list(),
      put(chunks) {
        const failed = new Set<unknown>()
        // What cannot be read elsewhere is no fault of this place.
        return tell(objects.put(noting(chunks, failed)), (error) => failed.has(error))
      },
      remove: (sha256) => tell(objects.remove(sha256)),
      sweep: () => tell(objects.sweep()),
    },
    readFile: (name) => tell(storage.readFile(name)),
    writeFile: (name, bytes) => tell(storage.writeFile(name, bytes)),
    strangers: () => tell(storage.strangers()),
    writeSecret: (name, bytes) => tell(storage.writeSecret(name, bytes)),
  }
}

async function* noting(chunks: AsyncIterable<Uint8Array>, failed: Set<unknown>): AsyncGenerator<Uint8Array> {
  try {
    yield* chunks
  } catch (error) {
    failed.add(error)
    throw error
  }
}
