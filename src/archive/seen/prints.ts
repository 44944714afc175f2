/**
 * The prints of a packet: what copies of its files are known by, as an object of the archive in canonical JSON (RFC 8785).
 * They say nothing that can be read: no words, no places, hashes and shapes alone, beside the numbers of vehicle and job.
 * The index is made from them, so a change of what is taken here is for packets to come; `prints` tells which form it is.
 */
import canonicalize from 'canonicalize'
import type { DocumentFacts } from '../../facts/document.ts'
import type { Packet } from '../../packet/packet.ts'
import { foldName, foldNumber } from '../register/report-facts.ts'
import { type Engagement, engagementsOf } from './engagements.ts'
import { type Mark, marksOf, totalBits } from './marks.ts'
import { namesOf, valuePairs } from './mask.ts'
import { bandKeys, hashText, makeKey, signatureOf } from './minhash.ts'
import { isTelling, pictureKeys } from './picture-keys.ts'
import { shapeTrack, type TrackShape, trackKeys } from './track-shape.ts'

export interface FilePrint {
  file: string
  sha256: string
  kind: string
  /** The VIN that the file itself states. */
  vin?: string
  /** Of a record: hashes of its value pairs, sorted. */
  pairs?: readonly number[]
  marks?: readonly Mark[]
  /** Of a photo: see `Look`. */
  likeness?: string
  /** When the camera says that it was taken, local. */
  taken?: string
  /** Hashes of the bar codes in it. */
  codes?: readonly number[]
  track?: TrackShape
}

export interface Prints {
  vin: string | null
  job: string | null
  shop: string | null
  files: readonly FilePrint[]
  engagements: readonly Engagement[]
}

/** Kinds that report what was found or done on one vehicle; papers of the office repeat themselves from job to job. */
export const recordKinds: ReadonlySet<string> = new Set(['pre-scan', 'post-scan', 'scan', 'calibration', 'alignment'])

/** Fewer pairs than these are a form, not a report. */
const leastPairs = 12
/** Marks worth less than this many bits do not tell a record from others. */
export const leastBits = 16

/** Pure: the same packet gives the same prints. Files that give none are left out. */
export function printsOf(packet: Packet): Prints {
  const { documents, declaration, vehicle } = packet
  const names = namesOf(documents, vehicle.vin)
  const jobs = new Set([declaration?.job, ...documents.map(({ jobNumber }) => jobNumber)].flatMap((job) => job || []))
  const [job] = jobs
  return {
    vin: vehicle.vin,
    job: job === undefined ? null : foldNumber(job),
    shop: declaration?.shop?.name === undefined ? null : foldName(declaration.shop.name),
    files: documents.flatMap((document) => printOf(document, packet, names)),
    engagements: engagementsOf(packet),
  }
}

function printOf(document: DocumentFacts, packet: Packet, names: readonly RegExp[]): FilePrint[] {
  const { file, sha256, kind, vin } = document
  if (sha256 === '') return []
  const seen = { ...printText(document, packet, names), ...printPicture(document), ...printTrack(document, packet) }
  return Object.keys(seen).length === 0 ? [] : [{ file, sha256, kind, ...(vin === undefined ? {} : { vin }), ...seen }]
}

function printText(document: DocumentFacts, packet: Packet, names: readonly RegExp[]): Partial<FilePrint> {
  if (!recordKinds.has(document.kind)) return {}
  const pairs = valuePairs(
    (packet.content[document.file]?.lines ?? []).map(({ text }) => text),
    names,
  )
  return pairs.length < leastPairs ? {} : { pairs, marks: marksOf(document) }
}

function printPicture({ kind, photo }: DocumentFacts): Partial<FilePrint> {
  if (kind !== 'photo' || photo?.likeness === undefined || !isTelling(photo.likeness)) return {}
  const { likeness, taken, barcodes = [] } = photo
  const codes = barcodes.map(({ text }) => hashText(text)).sort((a, b) => a - b)
  return { likeness, ...(taken?.local ? { taken: taken.local } : {}), ...(codes.length > 0 ? { codes } : {}) }
}

function printTrack({ file }: DocumentFacts, { content }: Packet): Partial<FilePrint> {
  const track = content[file]?.track
  const shape = track ? shapeTrack(track) : null
  return shape === null ? {} : { track: shape }
}

/** The keys under which a file is found: those that it shares with a copy of it. Each once, in order of size. */
export function keysOf({ pairs, marks = [], likeness, track }: FilePrint): number[] {
  const keys = [
    ...(pairs === undefined ? [] : bandKeys('text', signatureOf(pairs))),
    ...(totalBits(marks) < leastBits
      ? []
      : [
          makeKey(
            'marks',
            0,
            marks.map(({ name, value }) => hashText(`${name}=${value}`)),
          ),
        ]),
    ...(likeness === undefined ? [] : pictureKeys(likeness)),
    ...(track === undefined ? [] : trackKeys(track)),
  ]
  return [...new Set(keys)].sort((a, b) => a - b)
}

const toBase64 = (bytes: Uint8Array): string => Buffer.from(bytes).toString('base64')
const fromBase64 = (text: string): Uint8Array => new Uint8Array(Buffer.from(text, 'base64'))

function packPairs(pairs: readonly number[]): string {
  const bytes = new DataView(new ArrayBuffer(4 * pairs.length))
  for (const [at, pair] of pairs.entries()) bytes.setUint32(4 * at, pair)
  return toBase64(new Uint8Array(bytes.buffer))
}

function unpackPairs(text: string): number[] {
  const bytes = fromBase64(text)
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length)
  return Array.from({ length: Math.floor(bytes.length / 4) }, (_, at) => view.getUint32(4 * at))
}

/** The form in which files are kept: hashes big-endian and shapes in base64. */
interface KeptFile extends Omit<FilePrint, 'pairs' | 'track'> {
  pairs?: string
  track?: { speeds: string; headings: string }
}

/** The prints as an object; the same prints, the same bytes. */
export function formatPrints({ files, ...prints }: Prints): Uint8Array {
  const kept = files.map(
    ({ pairs, track, ...file }): KeptFile => ({
      ...file,
      ...(pairs === undefined ? {} : { pairs: packPairs(pairs) }),
      ...(track === undefined ? {} : { track: { speeds: toBase64(track.speeds), headings: toBase64(track.headings) } }),
    }),
  )
  return new Uint8Array(Buffer.from(canonicalize({ prints: 1, ...prints, files: kept }) ?? '', 'utf8'))
}

/** Null for bytes that are no prints of a form that this version reads. */
export function parsePrints(bytes: Uint8Array): Prints | null {
  try {
    const value = JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(bytes)) as Omit<Prints, 'files'> & {
      prints: number
      files: readonly KeptFile[]
    }
    if (value.prints !== 1 || !Array.isArray(value.files) || !Array.isArray(value.engagements)) return null
    const { vin, job, shop, engagements } = value
    const files = value.files.map(
      ({ pairs, track, ...file }): FilePrint => ({
        ...file,
        ...(pairs === undefined ? {} : { pairs: unpackPairs(pairs) }),
        ...(track === undefined
          ? {}
          : { track: { speeds: fromBase64(track.speeds), headings: fromBase64(track.headings) } }),
      }),
    )
    return { vin, job, shop, files, engagements }
  } catch {
    return null
  }
}
