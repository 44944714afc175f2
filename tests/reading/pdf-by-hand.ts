/** PDF files written out object by object (ISO 32000-1, 7.5), for what no library would write. */

const latin1 = (text: string) => Buffer.from(text, 'latin1')

/** Objects 1, 2, 3 … as a file with a cross-reference table and trailer; object 1 is the catalog. */
export function writeObjects(objects: readonly (string | Buffer)[], trailer = ''): Buffer {
  const parts: Buffer[] = [latin1('%PDF-1.7\n%\xe2\xe3\xcf\xd3\n')]
  const offsets: number[] = []
  let length = parts[0]?.length ?? 0
  const put = (part: Buffer) => {
    parts.push(part)
    length += part.length
  }
  objects.forEach((object, index) => {
    offsets.push(length)
    put(Buffer.concat([latin1(`${index + 1} 0 obj\n`), Buffer.from(object as string, 'latin1'), latin1('\nendobj\n')]))
  })
  const start = length
  const rows = offsets.map((offset) => `${String(offset).padStart(10, '0')} 00000 n \n`).join('')
  put(latin1(`xref\n0 ${objects.length + 1}\n0000000000 65535 f \n${rows}`))
  put(latin1(`trailer\n<< /Size ${objects.length + 1} /Root 1 0 R ${trailer} >>\nstartxref\n${start}\n%%EOF\n`))
  return Buffer.concat(parts)
}

/** A stream object. */
export function stream(data: string | Buffer, entries = ''): Buffer {
  const bytes = Buffer.from(data as string, 'latin1')
  return Buffer.concat([latin1(`<< /Length ${bytes.length} ${entries} >>\nstream\n`), bytes, latin1('\nendstream')])
}

export const helvetica = '<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica /Encoding /WinAnsiEncoding >>'
export const helveticaBold = '<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica-Bold /Encoding /WinAnsiEncoding >>'

export interface HandPage {
  content: string | Buffer
  /** Entries of the content stream's dictionary, such as `/Filter /FlateDecode`. */
  filter?: string
  /** Entries of the page: `/Rotate 90 /CropBox [10 10 400 500]`. */
  entries?: string
  mediaBox?: string
  resources?: string
}

/** Pages with Helvetica as /F1 and its bold as /F2. `extra` objects are numbered on from the last page. */
export function writePages(pages: readonly HandPage[], extra: readonly (string | Buffer)[] = [], trailer = ''): Buffer {
  const kids = pages.map((_, index) => `${5 + 2 * index} 0 R`).join(' ')
  const objects: (string | Buffer)[] = [
    '<< /Type /Catalog /Pages 2 0 R >>',
    `<< /Type /Pages /Kids [${kids}] /Count ${pages.length} >>`,
    helvetica,
    helveticaBold,
  ]
  pages.forEach((page, index) => {
    const { content, filter = '', entries = '', mediaBox = '[0 0 612 792]', resources = '' } = page
    objects.push(
      `<< /Type /Page /Parent 2 0 R /MediaBox ${mediaBox} /Contents ${6 + 2 * index} 0 R ${entries}
       /Resources << /Font << /F1 3 0 R /F2 4 0 R >> ${resources} >> >>`,
      stream(content, filter),
    )
  })
  return writeObjects([...objects, ...extra], trailer)
}

/** One line of text at a place, in Helvetica. */
export function line(text: string, x: number, y: number, size = 10): string {
  return `BT /F1 ${size} Tf ${x} ${y} Td (${text.replace(/([()\\])/g, '\\$1')}) Tj ET\n`
}
