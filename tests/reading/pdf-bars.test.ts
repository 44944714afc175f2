/** Bar codes on pages that have words: as a picture and as drawn bars, both encoded by another program (bwip-js). */
import bwip from 'bwip-js'
import PDFDocument from 'pdfkit'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type ReadingPool, startReading } from '../../src/io/reading-process.ts'
import { vin } from '../checks/packet-builder.ts'

let pool: ReadingPool
beforeAll(() => {
  pool = startReading({}, { pictureWords: false })
})
afterAll(() => pool.close())

type Paper = InstanceType<typeof PDFDocument>

async function read(draw: (paper: Paper) => void) {
  const paper = new PDFDocument({ size: 'LETTER' })
  const parts: Buffer[] = []
  paper.on('data', (part: Buffer) => parts.push(part))
  const done = new Promise((resolve) => paper.on('end', resolve))
  for (let line = 0; line < 20; line++) paper.text(`Line ${line} of a job sheet`, 72, 200 + 20 * line)
  draw(paper)
  paper.end()
  await done
  return pool.read(new Uint8Array(Buffer.concat(parts)), { path: 'sheet.pdf', media: 'application/pdf' })
}

/** Widths of bars and gaps in turn, in modules. */
const widthsOf = (text: string): number[] => (bwip.raw('code128', text, '') as unknown as [{ sbs: number[] }])[0].sbs

describe('bar codes beside words', () => {
  test('drawn bar by bar', async () => {
    const { barcodes, pages } = await read((paper) => {
      let x = 72
      for (const [index, width] of widthsOf(vin).entries()) {
        if (index % 2 === 0) paper.rect(x, 72, width, 40).fill('black')
        x += width
      }
    })
    expect(barcodes?.map(({ symbology, text, page }) => [symbology, text, page])).toEqual([['code-128', vin, 1]])
    const [x0 = 0, y0 = 0, x1 = 0, y1 = 0] = barcodes?.[0]?.box ?? []
    expect([x0 > 60, y0 > 60, x1 < 540, y1 < 125]).toEqual([true, true, true, true])
    expect(pages[0]?.words.length).toBeGreaterThan(80)
  })

  test.each(['datamatrix', 'qrcode', 'code39'])('as a picture: %s', async (bcid) => {
    const picture = await bwip.toBuffer({ bcid, text: vin, scale: 3, padding: 4 })
    const { barcodes } = await read((paper) => paper.image(picture, 300, 60, { fit: [220, 90] }))
    expect(barcodes?.map(({ text }) => text)).toEqual([vin])
  })

  test('a page of words and the rules of a table is not looked at', async () => {
    const reading = await read((paper) => {
      for (let row = 0; row < 30; row++)
        paper
          .moveTo(72, 200 + 20 * row)
          .lineTo(540, 200 + 20 * row)
          .stroke()
      for (let column = 0; column < 8; column++)
        paper
          .moveTo(72 + 60 * column, 200)
          .lineTo(72 + 60 * column, 600)
          .stroke()
    })
    expect(reading.pages[0]?.barred).toBeUndefined()
    expect(reading.barcodes).toBeUndefined()
  })
})
