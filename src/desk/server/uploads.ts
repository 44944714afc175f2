/** Packets on their way in: their files go to the archive's objects as they come, and belong to nothing until all are there. */
import { randomUUID } from 'node:crypto'
import type { NewUpload, UploadedFile, UploadView } from '../contract.ts'
import type { Desk } from './desk.ts'
import type { HandedOver } from './jobs.ts'
import type { Person } from './people.ts'
import { ProblemError } from './problem.ts'

export interface UploadLimits {
  /** Bytes of one upload, of all its files together. */
  bytes: number
  files: number
  /** Uploads of one person that are not done yet. */
  open: number
  /** A file that comes slower than so many bytes in so many milliseconds is given up: a byte a second holds a place for days. */
  pace: { bytes: number; milliseconds: number }
}

export const defaultUploadLimits: UploadLimits = {
  bytes: 8 * 1024 ** 3,
  files: 20_000,
  open: 50,
  pace: { bytes: 16_384, milliseconds: 30_000 },
}

interface Upload {
  owner: string
  wanted: NewUpload
  files: Map<string, UploadedFile>
  /** Of files that are coming and of those that are there. */
  bytes: number
  coming: number
  touched: number
}

export interface Uploads {
  begin(person: Person, wanted: NewUpload): UploadView
  /** Takes a file's bytes. Throws ProblemError 404, 408, 409, 413, 422; what came by then belongs to nothing. */
  take(person: Person, upload: string, path: string, chunks: AsyncIterable<Uint8Array>): Promise<UploadedFile>
  /** Ends it, and gives what was handed over. Throws ProblemError 404, 409, 422. */
  finish(person: Person, upload: string): { packet: HandedOver; wanted: NewUpload }
  drop(person: Person, upload: string): void
}

/** After so long without a byte an upload is given up, in milliseconds. */
const patience = 6 * 3_600_000

export function openUploads(desk: Desk, limits: UploadLimits = defaultUploadLimits): Uploads {
  const uploads = new Map<string, Upload>()
  const now = () => desk.outside.now().getTime()

  function find(person: Person, id: string): Upload {
    const upload = uploads.get(id)
    if (upload === undefined || upload.owner !== person.name)
      throw new ProblemError(404, 'There is no such upload', { mend: 'Begin one: POST /api/uploads.' })
    upload.touched = now()
    return upload
  }

  return {
    begin(person, wanted) {
      for (const [id, { touched, coming }] of uploads)
        if (coming === 0 && now() - touched > patience) uploads.delete(id)
      const open = [...uploads.values()].filter(({ owner }) => owner === person.name)
      if (open.length >= limits.open)
        throw new ProblemError(429, `${open.length} uploads are not done yet`, { mend: 'Finish or drop one of them.' })
      const upload = randomUUID()
      uploads.set(upload, { owner: person.name, wanted, files: new Map(), bytes: 0, coming: 0, touched: now() })
      return { upload, files: [] }
    },
    async take(person, id, path, chunks) {
      const upload = find(person, id)
      holdToPath(path)
      if (upload.files.size + upload.coming >= limits.files) throw tooMuch(`more than ${limits.files} files`)
      upload.coming++
      let own = 0
      try {
        const holdToPace = watchPace(limits.pace, now)
        const bounded = bound(chunks, (bytes) => {
          holdToPace(bytes)
          own += bytes
          upload.bytes += bytes
          upload.touched = now()
          if (upload.bytes > limits.bytes) throw tooMuch(`more than ${limits.bytes} bytes`)
        })
        const { sha256, bytes } = await desk.archive.outside.storage.objects.put(bounded)
        const earlier = upload.files.get(path)
        upload.bytes -= earlier?.bytes ?? 0
        const file = { path, sha256, bytes }
        upload.files.set(path, file)
        return file
      } catch (error) {
        upload.bytes -= own
        throw error
      } finally {
        upload.coming--
      }
    },
    finish(person, id) {
      const { wanted, files, coming } = find(person, id)
      if (coming > 0)
        throw new ProblemError(409, `${coming} files are still coming`, { mend: 'Finish when they are there.' })
      if (files.size === 0) throw new ProblemError(422, 'Nothing was handed over', { mend: 'Send the files first.' })
      if (wanted.form === 'file' && files.size > 1)
        throw new ProblemError(422, 'A packet that is one file has several', {
          mend: 'Begin it with the form "folder".',
        })
      uploads.delete(id)
      const { name, form, from, job, claim, acceptIncomplete = false } = wanted
      const shop = person.shop ?? wanted.shop
      const receipt = Object.fromEntries(
        Object.entries({ from, shop, job, claim }).filter(([, value]) => value !== undefined && value.trim() !== ''),
      )
      return { packet: { name, form, files: [...files.values()], receipt, acceptIncomplete }, wanted }
    },
    drop(person, id) {
      find(person, id)
      uploads.delete(id)
    },
  }
}

const tooMuch = (what: string): ProblemError =>
  new ProblemError(413, `The upload has ${what}`, { mend: 'Hand over one job at a time, without what is no evidence.' })

/** Throws ProblemError 408 at a piece before which too little came. What sends nothing at all is cut by the server's own time. */
function watchPace({ bytes: least, milliseconds }: UploadLimits['pace'], now: () => number): (bytes: number) => void {
  let [since, came] = [now(), 0]
  return (bytes) => {
    came += bytes
    if (now() - since < milliseconds) return
    if (came < least)
      throw new ProblemError(408, 'The file comes too slowly', {
        detail: `${came} bytes came in ${Math.round((now() - since) / 1000)} s.`,
        mend: 'Send it again over a better connection.',
      })
    ;[since, came] = [now(), 0]
  }
}

async function* bound(chunks: AsyncIterable<Uint8Array>, count: (bytes: number) => void): AsyncGenerator<Uint8Array> {
  for await (const chunk of chunks) {
    count(chunk.length)
    yield chunk
  }
}

/** A path inside a packet: relative, with `/`, without steps up or what no file can be called. Intake looks closer. */
function holdToPath(path: string): void {
  const parts = path.split('/')
  const isGood =
    path.length <= 1000 &&
    parts.every((part) => part !== '' && part !== '.' && part !== '..' && part.length <= 255) &&
    !/[\0\\]/.test(path)
  if (!isGood)
    throw new ProblemError(422, 'A file has a path that cannot be', {
      mend: 'Give a path inside the packet, with "/" between folders and without "..".',
    })
}
