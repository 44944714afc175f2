/**
 * PDF files made, signed and changed the way others do it: pages by pdf-lib, incremental updates written out here, CMS by
 * OpenSSL. Invented words.
 */
import { PDFDocument, StandardFonts } from '@cantoo/pdf-lib'
import type { Desk } from '../../desk.ts'

const latin = (bytes: Uint8Array): string => Buffer.from(bytes).toString('latin1')

export interface PaperOptions {
  pages?: number
  /** Text fields and what they hold. */
  fields?: Record<string, string>
  objectStreams?: boolean
  /** With a form, though an empty one. */
  form?: boolean
}

/** A small report: one line a page, perhaps a form. */
export async function makePaper({
  pages = 1,
  fields = {},
  objectStreams = false,
  form: withForm = true,
}: PaperOptions = {}): Promise<Uint8Array> {
  const document = await PDFDocument.create({ updateMetadata: false })
  const font = await document.embedFont(StandardFonts.Helvetica)
  for (let number = 1; number <= pages; number++) {
    const page = document.addPage([300, 200])
    page.drawText(`Front radar ${number} aligned, offset 0.4 degrees`, { x: 20, y: 150, size: 10, font })
  }
  if (!withForm) return document.save({ useObjectStreams: objectStreams })
  const form = document.getForm()
  for (const [name, value] of Object.entries(fields)) {
    const field = form.createTextField(name)
    field.addToPage(document.getPage(0), { x: 20, y: 60, width: 200, height: 20, font })
    if (value !== '') field.setText(value)
  }
  form.updateFieldAppearances(font)
  return document.save({ useObjectStreams: objectStreams, updateFieldAppearances: false })
}

/** Bodies of the objects by number, the last of each. */
export function objectsOf(pdf: Uint8Array): Map<number, string> {
  const found = [...latin(pdf).matchAll(/(?:^|\n)(\d+) 0 obj\n?([\s\S]*?)\n?endobj/g)]
  return new Map(found.map(([, number, body]) => [Number(number), body ?? '']))
}

const trailerOf = (text: string) => ({
  root: Number(/[\s\S]*\/Root (\d+) 0 R/.exec(text)?.[1]),
  previous: Number(/[\s\S]*startxref\s+(\d+)/.exec(text)?.[1]),
})

/** Appends a revision with these objects (ISO 32000-1, 7.5.6). `more`: entries of its trailer besides. */
export function update(pdf: Uint8Array, changed: ReadonlyMap<number, string>, more = ''): Uint8Array {
  const original = latin(pdf)
  const { root, previous } = trailerOf(original)
  let text = original.endsWith('\n') ? original : `${original}\n`
  const rows = [...changed].map(([number, body]) => {
    const row = `${number} 1\n${String(text.length).padStart(10, '0')} 00000 n \n`
    text += `${number} 0 obj\n${body}\nendobj\n`
    return row
  })
  const size = Math.max(...objectsOf(pdf).keys(), ...changed.keys()) + 1
  const start = text.length
  text += `xref\n${rows.join('')}trailer\n<< /Size ${size} /Root ${root} 0 R /Prev ${previous} ${more}>>\nstartxref\n${start}\n%%EOF\n`
  return Uint8Array.from(Buffer.from(text, 'latin1'))
}

export const nextNumber = (pdf: Uint8Array): number => Math.max(...objectsOf(pdf).keys()) + 1

/** The number and body of the object that is the catalog, or the page counted from 1. */
export function find(pdf: Uint8Array, type: 'Catalog' | 'Page', index = 1): [number, string] {
  const objects = [...objectsOf(pdf)].filter(([, body]) => new RegExp(`/Type /${type}\\b(?!s)`).test(body))
  return objects[index - 1] as [number, string]
}

/** A dictionary's body with entries put in front of its end, in place of those of the same key. */
export function put(body: string, key: string, value: string): string {
  const bare = body.replace(
    new RegExp(`\\n?/${key} (?:\\[[^\\]]*\\]|<<[\\s\\S]*?>>|<[0-9A-F]*>|\\([^)]*\\)|\\d+ 0 R|[^\\s/>]+)`),
    '',
  )
  const at = bare.lastIndexOf('>>')
  return `${bare.slice(0, at)} /${key} ${value} ${bare.slice(at)}`
}

/** Appends a revision in which a field holds another value. */
export function setField(pdf: Uint8Array, name: string, value: string): Uint8Array {
  const found = [...objectsOf(pdf)].find(([, body]) => new RegExp(`/T (?:\\(${name}\\)|<FEFF${hex(name)}>)`).test(body))
  if (!found) throw new Error(`no field ${name}`)
  return update(pdf, new Map([[found[0], put(found[1], 'V', `(${value})`)]]))
}

const hex = (text: string): string => Buffer.from(text, 'utf16le').swap16().toString('hex').toUpperCase()

export interface Signing {
  field?: string
  format?: string
  /** DocMDP. */
  level?: 1 | 2 | 3
  room?: number
  /** Entries of the signature's dictionary besides. */
  more?: string
  /** Changes the byte range before it is written; still in four numbers. */
  bend?: (range: readonly number[]) => readonly number[]
  /** Rectangle and appearance of the widget: an object's body. */
  mark?: { rectangle: string; appearance: string }
  sign(covered: Uint8Array): Uint8Array | Promise<Uint8Array>
}

/** Appends a revision with a signature field and a signature that covers all but its own /Contents. */
export async function sign(pdf: Uint8Array, signing: Signing): Promise<Uint8Array> {
  const { field = 'Signature1', format = 'adbe.pkcs7.detached', level, room = 4000, more = '', mark } = signing
  const [root, catalog] = find(pdf, 'Catalog')
  const [pageNumber, page] = find(pdf, 'Page')
  const widget = nextNumber(pdf)
  const [value, appearance] = [widget + 1, widget + 2]
  const reference = `/Reference [<< /Type /SigRef /TransformMethod /DocMDP /TransformParams << /Type /TransformParams /V /1.2 /P ${level} >> >>]`
  const kind = format === 'ETSI.RFC3161' ? 'DocTimeStamp' : 'Sig'
  const objects = new Map([
    [root, withField(pdf, catalog, widget, level === undefined ? null : value)],
    [pageNumber, addTo(page, 'Annots', `${widget} 0 R`)],
    [
      widget,
      `<< /Type /Annot /Subtype /Widget /FT /Sig /T (${field}) /F 132 /P ${pageNumber} 0 R /V ${value} 0 R /Rect ${mark?.rectangle ?? '[0 0 0 0]'}${mark ? ` /AP << /N ${appearance} 0 R >>` : ''} >>`,
    ],
    [
      value,
      `<< /Type /${kind} /Filter /Adobe.PPKLite /SubFilter /${format} /M (D:20260901120000Z) ${level ? reference : ''} ${more}/ByteRange [0 ${'9'.repeat(10)} ${'9'.repeat(10)} ${'9'.repeat(10)}] /Contents <${'0'.repeat(2 * room)}> >>`,
    ],
    ...(mark ? [[appearance, mark.appearance] as const] : []),
    ...formObject(pdf, catalog, widget),
  ])
  return fill(update(pdf, objects), signing, room)
}

const addTo = (body: string, key: string, item: string): string => {
  const old = new RegExp(`/${key} \\[([^\\]]*)\\]`).exec(body)?.[1] ?? ''
  return put(body, key, `[${old} ${item}]`)
}

const formReference = (catalog: string): number | null => {
  const found = /\/AcroForm (\d+) 0 R/.exec(catalog)
  return found ? Number(found[1]) : null
}

function withField(_pdf: Uint8Array, catalog: string, widget: number, author: number | null): string {
  const certified = author === null ? catalog : put(catalog, 'Perms', `<< /DocMDP ${author} 0 R >>`)
  if (formReference(catalog) !== null) return certified
  return put(certified, 'AcroForm', `<< /SigFlags 3 /Fields [${widget} 0 R] >>`)
}

/** Where the form is an object of its own, the field is added there. */
function formObject(pdf: Uint8Array, catalog: string, widget: number): [number, string][] {
  const number = formReference(catalog)
  if (number === null) return []
  return [[number, put(addTo(objectsOf(pdf).get(number) ?? '', 'Fields', `${widget} 0 R`), 'SigFlags', '3')]]
}

/** A dictionary for a signature, with room for `fill`. */
export const emptySignature = (room: number, more = ''): string =>
  `<< /Type /Sig /Filter /Adobe.PPKLite /SubFilter /adbe.pkcs7.detached ${more}/ByteRange [0 ${'9'.repeat(10)} ${'9'.repeat(10)} ${'9'.repeat(10)}] /Contents <${'0'.repeat(2 * room)}> >>`

/** Signs all but the room that is left for the signature. */
export async function fill(
  pdf: Uint8Array,
  { bend, sign: make }: Pick<Signing, 'bend' | 'sign'>,
  room: number,
): Promise<Uint8Array> {
  const bytes = Buffer.from(pdf)
  const start = bytes.lastIndexOf(`<${'0'.repeat(2 * room)}>`)
  const end = start + 2 * room + 2
  const right = [0, start, end, bytes.length - end]
  const range = bend?.(right) ?? right
  const placeholder = `[0 ${'9'.repeat(10)} ${'9'.repeat(10)} ${'9'.repeat(10)}]`
  bytes.write(`[${range.join(' ')}]`.padEnd(placeholder.length), bytes.lastIndexOf(placeholder), 'latin1')
  const [a = 0, b = 0, c = 0, d = 0] = range
  const covered = Buffer.concat([bytes.subarray(a, a + b), bytes.subarray(c, c + d)])
  const made = await make(covered)
  if (made.length > room) throw new Error(`the signature needs room for ${made.length} bytes`)
  bytes.write(Buffer.from(made).toString('hex'), start + 1, 'latin1')
  return Uint8Array.from(bytes)
}

/** Signs by OpenSSL with `NAME.pem` and `NAME.key` on the desk. */
export const opensslSigner =
  (desk: Desk, name: string, ...options: string[]) =>
  (covered: Uint8Array): Uint8Array => {
    desk.put('covered', covered)
    desk.openssl(
      ...['cms', '-sign', '-binary', '-in', 'covered', '-outform', 'DER', '-out', 'signature'],
      ...['-signer', `${name}.pem`, '-inkey', `${name}.key`, ...options],
    )
    return desk.get('signature')
  }

/** A self-signed certificate on the desk, `NAME.pem` and `NAME.key`. */
export function makeSelfSigned(desk: Desk, name: string, key: readonly string[] = ['rsa:2048']): void {
  desk.openssl(
    ...['req', '-x509', '-newkey', ...key, '-nodes', '-keyout', `${name}.key`, '-out', `${name}.pem`, '-days', '3000'],
    ...['-subj', `/CN=${name} of Larkfield Sensor Works`, '-addext', 'keyUsage=critical,digitalSignature'],
    ...['-addext', 'basicConstraints=critical,CA:FALSE'],
  )
}
