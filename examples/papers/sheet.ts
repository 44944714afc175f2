/** Opens a pdf-lib document with fixed dates and gives a pen that counts from the top left. */
import { PDFDocument, type PDFPage, rgb, StandardFonts } from '@cantoo/pdf-lib'
import { utc } from '../times.ts'
import type { Imprint } from './kit.ts'

export interface Pen {
  text(text: string, x: number, y: number, size: number, bold?: boolean, grey?: number): void
  box(x: number, y: number, width: number, height: number, fill: readonly [number, number, number] | null): void
  line(x0: number, y0: number, x1: number, y1: number): void
}

/** Draws one page in the Times or Helvetica family and gives its bytes. */
export async function drawSheet(
  imprint: Imprint & { producer: string },
  size: [number, number],
  family: 'Times' | 'Helvetica',
  draw: (pen: Pen) => void,
): Promise<Uint8Array> {
  const document = await PDFDocument.create({ updateMetadata: false })
  const date = new Date(utc(imprint.made) * 1000)
  document.setTitle(imprint.title)
  document.setCreator(imprint.creator)
  document.setProducer(imprint.producer)
  document.setCreationDate(date)
  document.setModificationDate(date)
  const plain = await document.embedFont(family === 'Times' ? StandardFonts.TimesRoman : StandardFonts.Helvetica)
  const strong = await document.embedFont(
    family === 'Times' ? StandardFonts.TimesRomanBold : StandardFonts.HelveticaBold,
  )
  const page: PDFPage = document.addPage(size)
  const top = size[1]
  draw({
    text: (text, x, y, points, bold = false, grey = 0.12) =>
      page.drawText(text, {
        x,
        y: top - y - points,
        size: points,
        font: bold ? strong : plain,
        color: rgb(grey, grey, grey),
      }),
    box: (x, y, width, height, fill) =>
      page.drawRectangle({
        x,
        y: top - y - height,
        width,
        height,
        borderWidth: 0.6,
        borderColor: rgb(0.45, 0.45, 0.48),
        ...(fill ? { color: rgb(...fill) } : {}),
      }),
    line: (x0, y0, x1, y1) =>
      page.drawLine({
        start: { x: x0, y: top - y0 },
        end: { x: x1, y: top - y1 },
        thickness: 0.5,
        color: rgb(0.6, 0.6, 0.62),
      }),
  })
  return document.save({ useObjectStreams: false })
}
