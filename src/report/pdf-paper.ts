/**
 * A tagged PDF document (ISO 32000-1, 14.7 and 14.8; ISO 14289-1 in its demands on structure): what is written becomes
 * pieces with their place in the structure tree, and `finish` lays them out.
 *
 * pdfkit makes the bytes. It writes no clock or chance where CreationDate is given, so the same calls give the same bytes.
 */
import { air, flow, type Piece } from './pdf-flow.ts'
import type { Fonts } from './pdf-fonts.ts'
import { type Letters, type Look, makeLetters, type Weight } from './pdf-letters.ts'
import { neutralise } from './terminal-text.ts'

export interface PaperInformation {
  title: string
  subject: string
  /** `YYYY-MM-DD` */
  day: string
}

export type Element = PDFKit.PDFStructureElement

/**
 * `scope`: of a heading cell; `bbox`: left, top, right, bottom of a figure (ISO 32000-1, tables 349 and 344). pdfkit knows
 * them, and its types do not.
 */
export type ElementOptions = PDFKit.Mixins.StructureElementOptions & {
  scope?: 'Row' | 'Column'
  bbox?: [number, number, number, number]
}

/** Letter paper, 612 by 792 points, with room for the footer. */
export const sheet = { width: 612, height: 792, left: 54, right: 558, top: 50, bottom: 726 } as const

export interface Paper {
  readonly letters: Letters
  readonly root: Element
  /** A structure element inside another. */
  add(parent: Element, type: string, options?: ElementOptions): Element
  put(...pieces: Piece[]): void
  /** Air before what follows. */
  gap(height: number): void
  /** Lines of one element. */
  draw(element: Element, lines: readonly { text: string; x: number; y: number; look: Look }[]): void
  /** What repeats or decorates, and is no content. */
  decorate(work: (document: PDFKit.PDFDocument) => void): void
  content(element: Element, work: (document: PDFKit.PDFDocument) => void): void
  /** Notes the page that is being drawn in the outline. */
  bookmark(title: string, level: 0 | 1): void
  /** Lays out, writes `footer` beneath every page, gives the bytes. */
  finish(footer: (page: number, of: number) => { left: string[]; right: string }): Promise<Uint8Array>
}

/** pdfkit keeps these to itself. */
interface Inside {
  _font: { font: { hasGlyphForCodePoint(codePoint: number): boolean } }
  _addInfo(): void
  info: Record<string, unknown>
}

export async function makePaper(fonts: Fonts, { title, subject, day }: PaperInformation): Promise<Paper> {
  // Loaded when first needed: it takes longer to load than a text report takes to write.
  const { default: PDFDocument } = await import('pdfkit')
  const date = new Date(`${day}T00:00:00Z`)
  const info = {
    Title: neutralise(title),
    Subject: neutralise(subject),
    Creator: 'witnessmark',
    CreationDate: date,
    ModDate: date,
  }
  const document = new PDFDocument({
    size: [sheet.width, sheet.height],
    margin: 0,
    pdfVersion: '1.7',
    tagged: true,
    lang: 'en',
    displayTitle: true,
    subset: 'PDF/UA' as 'PDF/A-1',
    bufferPages: true,
    autoFirstPage: false,
    // None of the fonts that are not embedded is ever set.
    font: null as unknown as string,
    info,
  })
  const collected = collect(document)
  escapeMetadata(document as unknown as Inside)
  document.registerFont('regular', fonts.regular as Buffer).registerFont('bold', fonts.bold as Buffer)
  const use = ({ weight, size }: Look) => document.font(weight).fontSize(size)
  const hasLetter = (point: number, weight: Weight): boolean => {
    document.font(weight)
    return (document as unknown as Inside)._font.font.hasGlyphForCodePoint(point)
  }
  const letters = makeLetters((text, look) => use(look).widthOfString(text), hasLetter)
  const root = document.struct('Document')
  document.addStructure(root)
  const pieces: Piece[] = []
  const outline: PDFKit.PDFOutline[] = []

  const content: Paper['content'] = (element, work) => {
    const type = (element as unknown as { dictionary: { data: { S: string } } }).dictionary.data.S
    const marked = document.markStructureContent(type)
    work(document)
    document.endMarkedContent()
    element.add(marked)
  }
  const decorate: Paper['decorate'] = (work) => {
    document.markContent('Artifact', { type: 'Layout' })
    work(document)
    document.endMarkedContent()
  }
  const write = (text: string, x: number, y: number, look: Look) =>
    use(look).fillColor(look.color).text(text, x, y, { lineBreak: false })

  return {
    letters,
    root,
    add(parent, type, options = {}) {
      const alt = options.alt === undefined ? {} : { alt: neutralise(options.alt) }
      const element = document.struct(type as 'P', { ...options, ...alt })
      parent.add(element)
      return element
    },
    put: (...more) => void pieces.push(...more),
    gap: (height) => void pieces.push(air(height)),
    draw: (element, lines) =>
      content(element, () => {
        for (const { text, x, y, look } of lines) write(text, x, y, look)
      }),
    decorate,
    content,
    bookmark(name, level) {
      const parent = level === 0 ? document.outline : (outline[0] ?? document.outline)
      outline[level] = parent.addItem(neutralise(name), { expanded: level === 0 })
    },
    async finish(footer) {
      document.addPage()
      flow(pieces, { top: sheet.top, bottom: sheet.bottom, next: () => void document.addPage() })
      const { count } = document.bufferedPageRange()
      for (let page = 0; page < count; page++) {
        document.switchToPage(page)
        const { left, right } = footer(page + 1, count)
        writeFooter(document, letters, write, left, right)
      }
      document.end()
      return collected
    },
  }
}

function collect(document: PDFKit.PDFDocument): Promise<Uint8Array> {
  const chunks: Uint8Array[] = []
  return new Promise((resolve, reject) => {
    document.on('data', (chunk: Uint8Array) => chunks.push(chunk))
    document.on('error', reject)
    document.on('end', () => {
      const bytes = new Uint8Array(chunks.reduce((sum, chunk) => sum + chunk.length, 0))
      let at = 0
      for (const chunk of chunks) {
        bytes.set(chunk, at)
        at += chunk.length
      }
      resolve(bytes)
    })
  })
}

/** pdfkit puts the information into XMP, which is XML, without escaping it. */
function escapeMetadata(document: Inside): void {
  const addInfo = document._addInfo
  document._addInfo = function (this: Inside) {
    const plain = this.info
    const entities = (value: unknown) =>
      typeof value === 'string' ? value.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;') : value
    this.info = Object.fromEntries(Object.entries(plain).map(([name, value]) => [name, entities(value)]))
    addInfo.call(this)
    this.info = plain
  }
}

const small: Look = { weight: 'regular', size: 7, color: '#565c65' }

function writeFooter(
  document: PDFKit.PDFDocument,
  letters: Letters,
  write: (text: string, x: number, y: number, look: Look) => void,
  left: readonly string[],
  right: string,
): void {
  document.markContent('Artifact', { type: 'Pagination' })
  document.moveTo(sheet.left, 738).lineTo(sheet.right, 738).lineWidth(0.5).strokeColor('#b9b5aa').stroke()
  const room = sheet.right - sheet.left - 90
  for (const [index, text] of left.entries()) {
    const [first = '', ...more] = letters.wrap(text, small, room)
    write(more.length > 0 ? `${first}…` : first, sheet.left, 742 + index * 9.5, small)
  }
  write(right, sheet.right - letters.measure(right, small), 742, small)
  document.endMarkedContent()
}
