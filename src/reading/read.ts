/** Sends a file's bytes to the reader of its format. Readers are loaded when first needed: text does not pay for PDF. */
import { type Media, mediaTypes } from '../facts/media.ts'
import type { Reading } from '../facts/reading.ts'

/** What the packet says about the bytes: the file's path, for messages and nothing else, and its sniffed media type. */
export interface ReadingHint {
  path: string
  media: string
}

export type Reader = (bytes: Uint8Array, hint: ReadingHint) => Promise<Reading> | Reading

const readPicture = async () => (await import('./picture.ts')).readPicture
const readDelimited = async () => (await import('./delimited.ts')).readDelimited

const loaders: Record<Media, (() => Promise<Reader>) | null> = {
  'application/pdf': async () => (await import('./pdf.ts')).readPdf,
  'image/jpeg': readPicture,
  'image/png': readPicture,
  'image/webp': readPicture,
  'image/tiff': readPicture,
  'image/heic': readPicture,
  'image/gif': readPicture,
  'application/gpx+xml': async () => (await import('./gpx.ts')).readGpx,
  'application/xml': async () => (await import('./structured.ts')).readXml,
  'application/json': async () => (await import('./structured.ts')).readJson,
  'application/yaml': async () => (await import('./structured.ts')).readYaml,
  'text/csv': readDelimited,
  'text/tab-separated-values': readDelimited,
  'text/x-nmea': async () => (await import('./nmea.ts')).readNmea,
  'text/plain': async () => (await import('./plain-text.ts')).readPlainText,
  'text/html': null,
  'application/zip': null,
  'application/gzip': null,
  'application/x-empty': null,
  'application/octet-stream': null,
}

/** Whether anything in a file of this media type can be read: if not, its bytes are not asked for. */
export const hasReader = (media: string): boolean => isMedia(media) && loaders[media] !== null

const isMedia = (media: string): media is Media => (mediaTypes as readonly string[]).includes(media)

/**
 * Reads one file. A format without a reader gives a Reading with one problem: `empty-file`, `nested-archive` or
 * `unknown-format`. A reader that throws gives `reader-failed`: a fault of ours is never taken for an empty file.
 */
export async function readFile(bytes: Uint8Array, hint: ReadingHint): Promise<Reading> {
  const load = isMedia(hint.media) ? loaders[hint.media] : null
  if (!load) return unreadable(hint)
  try {
    const read = await load()
    return await read(bytes, hint)
  } catch (error) {
    const detail = error instanceof Error ? error.message : String(error)
    return withProblem(hint.media, 'reader-failed', `${hint.path} could not be read: ${detail}`)
  }
}

function unreadable({ path, media }: ReadingHint): Reading {
  switch (media) {
    case 'application/x-empty':
      return withProblem(media, 'empty-file', `${path} holds no bytes: save it again from its source`)
    case 'application/zip':
    case 'application/gzip':
      return withProblem(media, 'nested-archive', `${path} is an archive: unpack it into the packet to have it read`)
    case 'text/html':
      return withProblem(media, 'unknown-format', `${path} is a web page: print it to PDF to have it read`)
    default:
      return withProblem(media, 'unknown-format', `${path} is in a format that is not read: export it as PDF or text`)
  }
}

const withProblem = (media: string, code: string, message: string): Reading => ({
  media,
  pages: [],
  problems: [{ code, message }],
})
