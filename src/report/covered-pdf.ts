/** A PDF of pictures of pages, which takes the place of one whose words had to be covered: nothing lies beneath the pictures. */
import type { Fonts } from './pdf-fonts.ts'
import { neutralise } from './terminal-text.ts'

export interface CoveredPage {
  jpeg: Uint8Array
  /** In points. */
  width: number
  height: number
}

/** Points above each page for the line that says what it is. */
const banner = 22

/** Each page under a line of text. `day`: `YYYY-MM-DD`. */
export async function renderCoveredPdf(
  pages: readonly CoveredPage[],
  line: string,
  { fonts, day }: { fonts: Fonts; day: string },
): Promise<Uint8Array> {
  const { default: PDFDocument } = await import('pdfkit')
  const date = new Date(`${day}T00:00:00Z`)
  const info = { Title: 'Derived copy', Creator: 'witnessmark', CreationDate: date, ModDate: date }
  const document = new PDFDocument({ autoFirstPage: false, margin: 0, font: null as unknown as string, info })
  const pieces: Uint8Array[] = []
  document.on('data', (piece: Uint8Array) => pieces.push(piece))
  const ended = new Promise<void>((resolve) => document.on('end', () => resolve()))
  document.registerFont('regular', fonts.regular as Buffer)
  for (const { jpeg, width, height } of pages) {
    document.addPage({ size: [width, height + banner], margin: 0 })
    document
      .font('regular')
      .fontSize(Math.min(8, width / 70))
      .fillColor('#000000')
    document.text(neutralise(line), 8, 7, { lineBreak: false })
    document.image(Buffer.from(jpeg), 0, banner, { width, height })
  }
  document.end()
  await ended
  return new Uint8Array(Buffer.concat(pieces))
}
