/**
 * Signs a PDF by an incremental update (ISO 32000-1, 12.8; PAdES baseline B-B and, with a time stamp, B-T: ETSI EN 319
 * 142-1). The bytes before stay as they are; the signature covers the whole file but for its own place.
 */
import { SealError } from '../seal-error.ts'
import type { Signer } from '../signer.ts'
import { type Stamp, signForPdf } from './pades.ts'
import { appendObjects, nextNumber, type PdfRevision, readObject, readRevision } from './revision.ts'
import { type PdfDictionary, referenceOf, writeDate, writeDictionary, writeText } from './syntax.ts'

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
    const revision = readRevision(bytes)
    prepared = Buffer.from(appendObjects(revision, listObjects(revision, signing, room)))
  } catch (cause) {
    if (!(cause instanceof RangeError)) throw cause
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
function listObjects(revision: PdfRevision, signing: PdfSigning, room: number): Map<number, string> {
  const catalogNumber = referenceOf(revision.trailer.get('/Root'))
  const catalog = readObject(revision, catalogNumber)
  if (catalog.has('/AcroForm'))
    throw new SealError(
      'pdf-has-form',
      'the PDF',
      'the PDF has a form or a signature already',
      'Sign a report as it was written, before anything is added.',
    )
  const page = findFirstPage(revision, catalog)
  const field = nextNumber(revision)
  return new Map([
    [catalogNumber as number, write(catalog, { '/AcroForm': `<< /Fields [${field} 0 R] /SigFlags 3 >>` })],
    [page.number, write(page.dictionary, { '/Annots': addAnnotation(page.dictionary, field), '/Tabs': '/S' })],
    [field, describeField(page.number, field + 1)],
    [field + 1, describeSignature(signing, room)],
  ])
}

const write = (dictionary: PdfDictionary, changes: Record<string, string>): string =>
  writeDictionary(new Map([...dictionary, ...Object.entries(changes)]))

function findFirstPage(revision: PdfRevision, catalog: PdfDictionary): { number: number; dictionary: PdfDictionary } {
  let number = referenceOf(catalog.get('/Pages'))
  for (let depth = 0; depth < 100 && number !== null; depth++) {
    const dictionary = readObject(revision, number)
    if (dictionary.get('/Type') === '/Page') return { number, dictionary }
    number = referenceOf(/^\[\s*(\d+\s+\d+\s+R)/.exec(dictionary.get('/Kids') ?? '')?.[1])
  }
  throw new RangeError('its first page is not found')
}

function addAnnotation(page: PdfDictionary, field: number): string {
  const present = page.get('/Annots') ?? '[]'
  if (!present.startsWith('[')) throw new RangeError('the notes on its first page are kept elsewhere')
  return `${present.slice(0, -1)} ${field} 0 R]`
}

/** Flags (12.5.3): hidden, so that it needs no place in the structure (ISO 14289-1, 7.18.1), and locked. */
const describeField = (page: number, signature: number): string =>
  writeDictionary(
    new Map([
      ['/Type', '/Annot'],
      ['/Subtype', '/Widget'],
      ['/FT', '/Sig'],
      ['/T', writeText('Seal')],
      ['/TU', writeText('Signature of this report')],
      ['/F', '130'],
      ['/Rect', '[0 0 0 0]'],
      ['/P', `${page} 0 R`],
      ['/V', `${signature} 0 R`],
    ]),
  )

const describeSignature = ({ time, reason }: PdfSigning, room: number): string =>
  writeDictionary(
    new Map([
      ['/Type', '/Sig'],
      ['/Filter', '/Adobe.PPKLite'],
      ['/SubFilter', '/ETSI.CAdES.detached'],
      ['/M', writeDate(time)],
      ...(reason === undefined ? [] : [['/Reason', writeText(reason)] as const]),
      ['/ByteRange', rangePlaceholder],
      ['/Contents', emptyContents(room)],
    ]),
  )
