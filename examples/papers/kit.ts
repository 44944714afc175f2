/** Opens a PDFKit document with fixed dates, uncompressed so that its bytes do not depend on a compressor. */
import PDFDocument from 'pdfkit'
import { utc } from '../times.ts'

export type Kit = InstanceType<typeof PDFDocument>

export interface Imprint {
  title: string
  creator: string
  /** Seconds, local: when the program wrote the file. */
  made: number
}

/** Draws one document and gives its bytes. */
export function drawKit(imprint: Imprint, size: [number, number], draw: (page: Kit) => void): Promise<Uint8Array> {
  const date = new Date(utc(imprint.made) * 1000)
  const info = { Title: imprint.title, Creator: imprint.creator, CreationDate: date, ModDate: date }
  const page = new PDFDocument({ size, margin: 0, compress: false, info })
  const chunks: Uint8Array[] = []
  return new Promise((resolve, reject) => {
    page.on('data', (chunk: Uint8Array) => chunks.push(chunk))
    page.on('end', () => resolve(new Uint8Array(Buffer.concat(chunks))))
    page.on('error', reject)
    draw(page)
    page.end()
  })
}

/** One line of text at a place, nothing wrapped. */
export function put(
  page: Kit,
  text: string,
  x: number,
  y: number,
  font: string,
  size: number,
  colour = '#222222',
): void {
  page.font(font).fontSize(size).fillColor(colour).text(text, x, y, { lineBreak: false })
}

/** One line that ends at `right`. */
export function putRight(page: Kit, text: string, right: number, y: number, font: string, size: number): void {
  const width = page.font(font).fontSize(size).widthOfString(text)
  put(page, text, right - width, y, font, size)
}
