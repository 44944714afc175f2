/**
 * Signs a PDF by an incremental update (ISO 32000-1, 12.8; PAdES baseline B-B and, with a time stamp, B-T: ETSI EN 319
 * 142-1). The bytes before stay as they are; the signature covers the whole file but for its own place.
 */
import { SealError } from '../seal-error.ts'
import type { Signer } from '../signer.ts'
import {
  type Addition,
  appendObjects,
  type Entries,
  nextNumber,
  openForUpdate,
  writeDate,
  writeText,
} from './append.ts'
import { type Stamp, signForPdf } from './pades.ts'
import { catalogOf, type PdfFile } from './reading/file.ts'
import { pageObjects } from './reading/form.ts'
import { type PdfDictionary, type PdfReference, type PdfValue, SyntaxFault } from './reading/syntax.ts'

export interface PdfSigning {
  signer: Signer
  /** By the signer's own clock; stands in the signature as /M, to the second. */
  time: Date
  /** Why it is signed, for viewers to show. */
  reason?: string
  /** Adds a time stamp over the signature, level B-T. */
  stamp?: Stamp
}

/** For the signature's frame and value; certificates and the token come on top. */
const frameBytes = 4096
/** A token with its authority's chain is 2 to 7 KiB. */
const tokenBytes = 16_384

/** Wide enough for ten digits each, as the cross-reference table has. */
const rangePlaceholder = `[0 ${'9'.repeat(10)} ${'9'.repeat(10)} ${'9'.repeat(10)}]`

/**
 * The PDF with a signature that does not show on its pages. Same bytes and signing, without a stamp: the same bytes but for
 * the signature's value. Throws SealError `pdf-unusable` for a file that is damaged, has cross-reference streams or is
 * encrypted, `pdf-has-form` for one that has a form or a signature already, `signature-too-long`.
 */
export async function signPdf(bytes: Uint8Array, signing: PdfSigning): Promise<Uint8Array> {
  const { signer, stamp } = signing
  const certificates = [signer.certificate, ...signer.issuers].reduce((sum, { length }) => sum + length, 0)
  const room = frameBytes + certificates + (stamp === undefined ? 0 : tokenBytes)
  const prepared = prepare(bytes, signing, room)
  const gap = findGap(prepared, room)
  const covered = Buffer.concat([prepared.subarray(0, gap.start), prepared.subarray(gap.end)])
  const signature = await signForPdf(new Uint8Array(covered), signer, stamp ?? null)
  if (signature.length > room)
    throw new SealError(
      'signature-too-long',
      'the signature',
      `the signature has ${signature.length} bytes, and there is room for ${room}`,
      'Choose a time-stamp authority that sends fewer certificates.',
    )
  prepared.write(Buffer.from(signature).toString('hex'), gap.start + 1, 'latin1')
  return new Uint8Array(prepared)
}

/** The file with everything but the signature's value, for which zeros stand, and with the range that it covers. */
function prepare(bytes: Uint8Array, signing: PdfSigning, room: number): Buffer {
  let prepared: Buffer
  try {
    const file = openForUpdate(bytes)
    prepared = appendObjects(file, listAdditions(file, signing, room))
  } catch (cause) {
    if (!(cause instanceof RangeError || cause instanceof SyntaxFault)) throw cause
    const what = `the PDF cannot be signed: ${cause.message}`
    const mend = 'Give a PDF report as this program writes it, unchanged.'
    throw new SealError('pdf-unusable', 'the PDF', what, mend, { cause })
  }
  const { start, end } = findGap(prepared, room)
  const range = `[0 ${start} ${end} ${prepared.length - end}]`.padEnd(rangePlaceholder.length)
  prepared.write(range, prepared.lastIndexOf(rangePlaceholder), 'latin1')
  return prepared
}

/** The place of the signature's value, its angle brackets included: that is what the signature leaves out. */
function findGap(prepared: Buffer, room: number): { start: number; end: number } {
  const start = prepared.lastIndexOf(emptyContents(room))
  return { start, end: start + 2 * room + 2 }
}

const emptyContents = (room: number): string => `<${'0'.repeat(2 * room)}>`

/** Catalogue and first page as changed; the field, which is its own invisible widget; the signature. */
function listAdditions(file: PdfFile, signing: PdfSigning, room: number): Addition[] {
  const root = file.trailer.entries.get('Root')
  const catalog = catalogOf(file)
  if (root?.kind !== 'reference' || catalog === null) throw new RangeError('its catalog is not found')
  if (catalog.entries.has('AcroForm'))
    throw new SealError(
      'pdf-has-form',
      'the PDF',
      'the PDF has a form or a signature already',
      'Sign a report as it was written, before anything is added.',
    )
  const page = findFirstPage(file)
  const field = makeReference(nextNumber(file))
  const signature = makeReference(field.number + 1)
  const form = `<< /Fields [${field.number} 0 R] /SigFlags 3 >>`
  const annotations: PdfValue = { kind: 'array', items: [...listAnnotations(file, page.dictionary), field] }
  return [
    { reference: root, entries: change(catalog, { AcroForm: form }) },
    { reference: page.reference, entries: change(page.dictionary, { Annots: annotations, Tabs: '/S' }) },
    { reference: field, entries: describeField(page.reference, signature) },
    { reference: signature, entries: describeSignature(signing, room) },
  ]
}

const makeReference = (number: number): PdfReference => ({ kind: 'reference', number, generation: 0 })

/** Throws RangeError for a key that stands twice: readers differ in which one they take. */
function change({ entries, doubled }: PdfDictionary, changes: Record<string, PdfValue | string>): Entries {
  if (doubled.length > 0) throw new RangeError(`the key ${doubled[0]} stands twice`)
  return new Map([...entries, ...Object.entries(changes)])
}

function findFirstPage(file: PdfFile): { reference: PdfReference; dictionary: PdfDictionary } {
  for (const number of pageObjects(file)) {
    const dictionary = file.get(number)
    const entry = file.entries.get(number)
    if (dictionary?.kind !== 'dictionary' || dictionary.entries.has('Kids')) continue
    const generation = entry?.kind === 'offset' ? entry.generation : 0
    return { reference: { kind: 'reference', number, generation }, dictionary }
  }
  throw new RangeError('its first page is not found')
}

function listAnnotations(file: PdfFile, page: PdfDictionary): readonly PdfValue[] {
  const present = file.resolve(page.entries.get('Annots'))
  if (present === null || present.kind === 'null') return []
  if (present.kind === 'array') return present.items
  throw new RangeError('the notes on its first page are damaged')
}

/** Flags (12.5.3): hidden, so that it needs no place in the structure (ISO 14289-1, 7.18.1), and locked. */
const describeField = (page: PdfReference, signature: PdfReference): Entries =>
  new Map<string, PdfValue | string>([
    ['Type', '/Annot'],
    ['Subtype', '/Widget'],
    ['FT', '/Sig'],
    ['T', writeText('Seal')],
    ['TU', writeText('Signature of this report')],
    ['F', '130'],
    ['Rect', '[0 0 0 0]'],
    ['P', page],
    ['V', signature],
  ])

const describeSignature = ({ time, reason }: PdfSigning, room: number): Entries =>
  new Map([
    ['Type', '/Sig'],
    ['Filter', '/Adobe.PPKLite'],
    ['SubFilter', '/ETSI.CAdES.detached'],
    ['M', writeDate(time)],
    ...(reason === undefined ? [] : [['Reason', writeText(reason)] as const]),
    ['ByteRange', rangePlaceholder],
    ['Contents', emptyContents(room)],
  ])
