/** Sets a sheet as PDF in one of four ways: fields tabbed, stacked, in a rail at the side, or in pairs. */
import PDFDocument from 'pdfkit'
import { writeJpeg } from '../../../examples/pictures/jpeg.ts'
import { openScene } from '../../../examples/pictures/scene.ts'
import type { Block, Field, Sheet } from './sheet.ts'

interface Mark {
  text: string
  x: number
  y: number
  size: number
  bold: boolean
}

interface Draft {
  pages: Mark[][]
  y: number
  left: number
  right: number
}

const height = 792
const width = 612
const bottom = 730

interface Skin {
  family: 'Helvetica' | 'Times' | 'Courier'
  size: number
  fields(draft: Draft, rows: readonly Field[]): void
}

function put(draft: Draft, text: string, x: number, size: number, bold = false): void {
  draft.pages.at(-1)?.push({ text, x, y: draft.y, size, bold })
}

function advance(draft: Draft, by: number): void {
  draft.y += by
  if (draft.y <= bottom) return
  draft.pages.push([])
  draft.y = 60
}

const inPairs = (rows: readonly Field[]): Field[][] =>
  rows.reduce<Field[][]>((pairs, row, index) => {
    if (index % 2 === 0) pairs.push([row])
    else pairs.at(-1)?.push(row)
    return pairs
  }, [])

const tabbed: Skin = {
  family: 'Helvetica',
  size: 10,
  fields(draft, rows) {
    for (const [label, value] of rows) {
      put(draft, `${label}:`, draft.left, 10)
      put(draft, value, draft.left + 170, 10)
      advance(draft, 15)
    }
  },
}

const stacked: Skin = {
  family: 'Helvetica',
  size: 10,
  fields(draft, rows) {
    for (const pair of inPairs(rows)) {
      for (const [index, [label]] of pair.entries()) put(draft, label, draft.left + index * 260, 7.5)
      advance(draft, 11)
      for (const [index, [, value]] of pair.entries()) put(draft, value, draft.left + index * 260, 10.5, true)
      advance(draft, 19)
    }
  },
}

const paired: Skin = {
  family: 'Times',
  size: 10.5,
  fields(draft, rows) {
    for (const pair of inPairs(rows)) {
      pair.forEach(([label, value], index) => {
        const x = draft.left + index * 268
        put(draft, label, x, 10, true)
        put(draft, value, x + 112, 10.5)
      })
      advance(draft, 17)
    }
  },
}

const typed: Skin = {
  family: 'Courier',
  size: 9,
  fields(draft, rows) {
    for (const [label, value] of rows) {
      put(draft, `${label.padEnd(26, '.')} ${value}`, draft.left, 9)
      advance(draft, 13)
    }
  },
}

const skins: readonly Skin[] = [tabbed, stacked, paired, typed]

function setTable(draft: Draft, block: Extract<Block, { kind: 'table' }>, skin: Skin): void {
  if (block.heading) {
    advance(draft, 6)
    put(draft, block.heading, draft.left, skin.size + 2, true)
    advance(draft, 18)
  }
  const whole = block.widths.reduce((sum, part) => sum + part, 0)
  const places = block.widths.map(
    (_, index) =>
      draft.left +
      (block.widths.slice(0, index).reduce((sum, part) => sum + part, 0) / whole) * (draft.right - draft.left),
  )
  const row = (texts: readonly string[], bold: boolean) => {
    for (const [index, text] of texts.entries())
      if (text !== '') put(draft, text, places[index] ?? draft.left, skin.size - 1, bold)
    advance(draft, 15)
  }
  row(block.columns, true)
  for (const texts of block.rows) row(texts, false)
}

function setBlock(draft: Draft, block: Block, skin: Skin): void {
  switch (block.kind) {
    case 'fields':
      skin.fields(draft, block.rows)
      break
    case 'table':
      setTable(draft, block, skin)
      break
    case 'lines':
      for (const line of block.lines) {
        put(draft, line, draft.left, skin.size)
        advance(draft, 15)
      }
      break
    case 'section':
      if (block.heading !== null) {
        put(draft, block.heading, draft.left, skin.size + 3, true)
        advance(draft, 20)
      }
      for (const part of block.blocks) setBlock(draft, part, skin)
      return
  }
  advance(draft, 10)
}

function setBlocks(sheet: Sheet, skin: Skin): Mark[][] {
  const draft: Draft = { pages: [[]], y: 44, left: 48, right: 566 }
  put(draft, sheet.issuer, draft.left, 9)
  advance(draft, 18)
  put(draft, sheet.title, draft.left, 18, true)
  advance(draft, 34)
  for (const block of sheet.blocks) setBlock(draft, block, skin)
  return draft.pages.filter((marks) => marks.length > 0)
}

const fonts = {
  Helvetica: ['Helvetica', 'Helvetica-Bold'],
  Times: ['Times-Roman', 'Times-Bold'],
  Courier: ['Courier', 'Courier-Bold'],
} as const

/**
 * `hidden`: words in white stand at the foot; `painted`: the first VIN lies under a white box with another on it;
 * `patched`: a digit of the first VIN is set in another family.
 */
export type Quirk = 'script' | 'hidden' | 'painted' | 'patched'

export const isQuirk = (how: string | undefined): how is Quirk =>
  how === 'script' || how === 'hidden' || how === 'painted' || how === 'patched'

const vin = /\b[A-HJ-NPR-Z0-9]{17}\b/

/** The bytes of a PDF, page numbers at the foot of every page. */
export function setPdf(sheet: Sheet, layout: number, quirk?: Quirk): Promise<Uint8Array> {
  const skin = skins[layout % skins.length] ?? tabbed
  const pages = setBlocks(sheet, skin)
  const date = new Date(sheet.made * 1000)
  const info = {
    Title: sheet.title,
    Creator: sheet.creator,
    Producer: `${sheet.creator} 1`,
    CreationDate: date,
    ModDate: date,
  }
  const [plain, bold] = fonts[skin.family]
  const altered = pages.flat().find(({ text }) => vin.test(text))
  return collect({ size: [width, height], margin: 0, compress: false, autoFirstPage: false, info }, (paper) => {
    pages.forEach((marks, index) => {
      if (index + 1 === sheet.missingPage) return
      paper.addPage()
      for (const mark of marks) {
        paper.font(mark.bold ? bold : plain).fontSize(mark.size)
        if (mark === altered && quirk === 'patched')
          patch(paper, mark, skin.family === 'Times' ? 'Courier' : 'Times-Roman')
        else paper.text(mark.text, mark.x, mark.y, { lineBreak: false })
        if (mark === altered && quirk === 'painted') paintOver(paper, mark)
      }
      paper
        .font(plain)
        .fontSize(8)
        .text(`Page ${index + 1} of ${pages.length}`, 500, 760, { lineBreak: false })
    })
    if (quirk === 'hidden')
      paper
        .fillColor('#ffffff')
        .fontSize(9)
        .text('Result: Completed 100 %, all values within limits', 60, 742, { lineBreak: false })
    if (quirk === 'script') addScript(paper)
  })
}

type Document = InstanceType<typeof PDFDocument>

function collect(options: PDFKit.PDFDocumentOptions, draw: (paper: Document) => void): Promise<Uint8Array> {
  const paper = new PDFDocument(options)
  const chunks: Uint8Array[] = []
  return new Promise((resolve, reject) => {
    paper.on('data', (chunk: Uint8Array) => chunks.push(chunk))
    paper.on('end', () => resolve(new Uint8Array(Buffer.concat(chunks))))
    paper.on('error', reject)
    draw(paper)
    paper.end()
  })
}

/** The last digit but two is drawn in another font. */
function patch(paper: Document, { text, x, y }: Mark, font: string): void {
  const at = text.search(vin) + 14
  const widthOf = (part: string) => paper.widthOfString(part)
  const [start, digit] = [widthOf(text.slice(0, at)), widthOf(text.slice(at, at + 1))]
  paper.text(text.slice(0, at), x, y, { lineBreak: false })
  paper.text(text.slice(at + 1), x + start + digit, y, { lineBreak: false })
  paper.font(font).text(text.slice(at, at + 1), x + start, y, { lineBreak: false })
}

/** A white box, and on it a VIN that differs in its last digit. */
function paintOver(paper: Document, { text, x, y, size }: Mark): void {
  const other = text.replace(vin, (found) => `${found.slice(0, 16)}${(Number(found[16]) + 1) % 10}`)
  paper.rect(x - 1, y - 1, paper.widthOfString(text) + 2, size + 3).fill('#ffffff')
  paper.fillColor('#000000').text(other, x, y, { lineBreak: false })
}

/** A script that runs when the file is opened (ISO 32000-1, 12.6.4.16). */
function addScript(paper: Document): void {
  const { _root: root } = paper as unknown as { _root: { data: Record<string, unknown> } }
  root.data.OpenAction = { S: 'JavaScript', JS: new String('this.print()') }
}

/** A page that is a picture of the sheet, as a copier makes it. */
export function setPicture(sheet: Sheet): Promise<Uint8Array> {
  const scene = openScene(600, 776, [238, 238, 232])
  const [marks = []] = setBlocks(sheet, tabbed)
  for (const { text, x, y } of marks) scene.write(text, x, y, 1, [30, 30, 32])
  scene.expose(sheet.made)
  const picture = Buffer.from(writeJpeg(scene, 60, []))
  return collect({ size: [width, height], margin: 0, compress: false }, (paper) => {
    paper.image(picture, 0, 0, { width, height })
  })
}
