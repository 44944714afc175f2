/**
 * Derived copies: a packet without what is to be taken out of it. What cannot be taken out for certain is left out, with the
 * reason; whatever is made is searched once more for all that should be gone.
 */
import { derivedNote, type OutgoingFile, type OutgoingPacket } from './archive/export/export.ts'
import type { ExportPacket } from './archive/export/packets.ts'
import type { Redactor, Sensitive } from './archive/export/redactor.ts'
import { valuesOfReport, valuesOfText } from './archive/export/sensitive.ts'
import type { ObjectStorage } from './archive/storage.ts'
import { storedPacket } from './archiving.ts'
import type { Drawing, DrawingWish, Drawn } from './facts/drawing.ts'
import type { Page, Reading } from './facts/reading.ts'
import { openPacket } from './intake/open.ts'
import { decodeText } from './reading/decode-text.ts'
import { layOut } from './reading/layout.ts'

export interface Derivation {
  objects: ObjectStorage
  read(bytes: Uint8Array, hint: { path: string; media: string }): Promise<Reading>
  draw(bytes: Uint8Array, hint: { path: string; media: string }, wishes: readonly DrawingWish[]): Promise<Drawn[]>
  /** A PDF of pictures, each under the line. */
  bind(pages: readonly { jpeg: Uint8Array; width: number; height: number }[], line: string): Promise<Uint8Array>
}

interface GatheredFile {
  path: string
  media: string
  sha256: string
  bytes: Uint8Array
  /** Of what has text. */
  text: string | null
  /** Of what was read, pictures apart. */
  reading: Reading | null
}

export interface GatheredPacket {
  packet: ExportPacket
  files: GatheredFile[]
  sensitive: Sensitive
}

const textual = /^(?:text\/(?:plain|csv|tab-separated-values|x-nmea)|application\/(?:json|yaml|gpx\+xml|xml))$/

/** Reads a packet of the archive for what is to be taken out. It must have been checked: its report says what its files hold. */
export async function gatherSensitive(packet: ExportPacket, { objects, read }: Derivation): Promise<GatheredPacket> {
  const { name, form, contents, report } = packet
  const intake = await openPacket(storedPacket({ name, form, files: contents }, objects), name)
  const files: GatheredFile[] = []
  if (intake.declaration !== null) {
    const { path, sha256, data } = intake.declaration
    files.push({ path, sha256, media: 'application/yaml', bytes: data, text: decodeText(data).text, reading: null })
  }
  for (const file of intake.files) {
    const { path, media, sha256 } = file
    const bytes = await file.read()
    const isText = textual.test(media)
    const reading = isText || media === 'application/pdf' ? await read(bytes, { path, media }) : null
    files.push({ path, media, sha256, bytes, text: isText ? decodeText(bytes).text : null, reading })
  }
  const own = report === null ? { values: [], places: [] } : valuesOfReport(report.value)
  const values = [...own.values, ...valuesOfText(name)]
  const places = [...own.places]
  for (const { path, text, reading } of files) {
    values.push(...valuesOfText(path), ...valuesOfText(text ?? ''))
    for (const { latitude, longitude } of reading?.track?.points ?? [])
      if (latitude !== undefined && longitude !== undefined) places.push([latitude, longitude])
    if (text === null && reading !== null)
      values.push(
        ...valuesOfText(
          layOut(reading.pages)
            .lines.map((line) => line.text)
            .join('\n'),
        ),
      )
    if (reading !== null)
      for (const { unseen = [] } of reading.pages)
        values.push(...valuesOfText(unseen.map((word) => word.text).join(' ')))
  }
  return { packet, files, sensitive: { values, places } }
}

/** The copy of one file, or why there is none. */
type Copy = { bytes: Uint8Array; ending?: string } | { reason: string }

/** Everything of a packet that can be handed over without what is taken out. */
export async function deriveFiles(
  { packet, files }: GatheredPacket,
  redactor: Redactor,
  outside: Derivation,
): Promise<Pick<OutgoingPacket, 'name' | 'files' | 'left'>> {
  const [made, left]: [OutgoingFile[], { path: string; sha256: string; reason: string }[]] = [[], []]
  for (const file of files) {
    const { path, sha256 } = file
    const copy = await deriveFile(file, redactor, outside)
    if ('reason' in copy) {
      left.push({ path, sha256, reason: copy.reason })
      continue
    }
    // Its own name may tell whose vehicle it is, too.
    const original = redactor.replace(path)
    made.push({ path: nameCopy(original, copy.ending), original, sha256, derived: copy.bytes })
  }
  const known = new Set(files.map(({ sha256 }) => sha256))
  for (const { path, sha256 } of packet.contents)
    if (!known.has(sha256)) left.push({ path, sha256, reason: 'it belongs to the bag or the form of the original' })
  return { name: redactor.replace(packet.name), files: made, left }
}

/** Every copy says in its name what it is. */
function nameCopy(path: string, ending?: string): string {
  const steps = path.split('/')
  const last = steps.pop() ?? ''
  const renamed = ending === undefined || last.toLowerCase().endsWith(ending) ? last : `${last}${ending}`
  return [...steps, `derived-copy-${renamed}`].join('/')
}

async function deriveFile(file: GatheredFile, redactor: Redactor, outside: Derivation): Promise<Copy> {
  const { media, text } = file
  if (text !== null) return deriveText(file, text, redactor)
  if (media === 'application/pdf') return derivePdf(file, redactor, outside)
  if (/^image\/(?:jpeg|png|webp|gif|heic)$/.test(media)) return derivePicture(file, redactor, outside)
  return { reason: 'nothing can be taken out of its format for certain' }
}

/** Characters spelt by their numbers, and bytes spelt as characters, can hold what no search of the text finds. */
const spelt = /\\u[0-9a-f]{4}|\\x[0-9a-f]{2}|&#x?[0-9a-f]+;|%[0-9a-f]{2}%[0-9a-f]{2}|[A-Za-z0-9+/]{100,}/i

function deriveText({ media, bytes, reading }: GatheredFile, text: string, redactor: Redactor): Copy {
  if (media === 'text/x-nmea' && redactor.kinds.has('places'))
    return { reason: 'it is a track of places, and says nothing without them' }
  const problems = [...decodeText(bytes).problems, ...(reading?.problems ?? [])]
  if (problems.some(({ code }) => unread.has(code))) return { reason: 'not all of its text could be read' }
  if (spelt.test(text)) return { reason: 'some of its text is encoded' }
  const replaced = redactor.replace(text)
  return redactor.isClean(replaced) ? { bytes: Buffer.from(replaced) } : still
}

const still: Copy = { reason: 'something that is to be taken out was still found in the copy' }

/** Problems after which some of a text is not known. */
const unread: ReadonlySet<string> = new Set([
  'too-large',
  'bad-encoding',
  'control-characters',
  'not-text',
  'line-too-long',
])

const mostPages = 60

async function derivePdf(
  { path, media, bytes, sha256, reading }: GatheredFile,
  redactor: Redactor,
  outside: Derivation,
): Promise<Copy> {
  if (reading === null || reading.pages.length === 0 || reading.problems.length > 0)
    return { reason: 'not all of it could be read, so it may show what is to be taken out' }
  if (reading.pages.length > mostPages || reading.pageCount !== reading.pages.length)
    return { reason: `it has more pages than are drawn anew` }
  const wishes = reading.pages.map((page) => ({ page: page.number, marks: [], covers: coversOf(page, redactor) }))
  const pages: (Drawing & { width: number; height: number })[] = []
  for (const [at, drawn] of (await outside.draw(bytes, { path, media }, wishes)).entries()) {
    if ('fault' in drawn) return { reason: `page ${at + 1} cannot be drawn anew: ${drawn.fault}` }
    const [, , width, height] = drawn.region
    pages.push({ ...drawn, width, height })
  }
  for (const { jpeg } of pages) if (!(await isCleanPicture(jpeg, redactor, outside))) return still
  return { bytes: await outside.bind(pages, `${derivedNote(sha256)}.`) }
}

/** What nobody sees on a page is covered as a whole. */
function coversOf({ words, unseen = [] }: Page, redactor: Redactor) {
  const found = redactor.findWords(words.map(({ text }) => text))
  return [...words.filter((_, index) => found.has(index)), ...unseen].map(({ box }) => box)
}

/** As far as bar codes and words can be read in it. */
async function isCleanPicture(jpeg: Uint8Array, redactor: Redactor, { read }: Derivation): Promise<boolean> {
  const { pages, barcodes = [] } = await read(jpeg, { path: 'page.jpg', media: 'image/jpeg' })
  const words = pages.flatMap((page) => page.words.map(({ text }) => text))
  return redactor.isClean([...words, ...barcodes.map(({ text }) => text)].join(' '))
}

/**
 * Of a photo, its camera data can be taken off; what it shows cannot be known. To paint over what was read is not enough: of
 * labels whose bar code was read, the number printed above it was not, and no search of the copy finds what nobody read.
 */
async function derivePicture(
  { path, media, bytes }: GatheredFile,
  redactor: Redactor,
  outside: Derivation,
): Promise<Copy> {
  if ([...redactor.kinds].some((kind) => kind !== 'places'))
    return { reason: 'a picture may show what no program reads; look at it, and hand it over by itself' }
  const [drawn] = await outside.draw(bytes, { path, media }, [{ page: 1, marks: [] }])
  if (drawn === undefined || 'fault' in drawn) return { reason: 'it cannot be drawn anew without its camera data' }
  return { bytes: drawn.jpeg, ending: '.jpg' }
}
