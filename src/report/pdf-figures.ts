/** Pictures of the places that a finding rests on, with the words marked, on paper. */
import type { Drawing } from '../facts/drawing.ts'
import { isDrawing, type Picture, type Pictures } from '../findings/pictures.ts'
import { colors, looks, putLines, type Span } from './pdf-blocks.ts'
import { type Element, type Paper, sheet } from './pdf-paper.ts'
import { describePicture, namePlace } from './picture-words.ts'
import type { FindingView } from './view.ts'

const highest = 260

/** Those of one finding. A picture that an earlier finding shows already is pointed at. */
export function putFigures(
  paper: Paper,
  parent: Element,
  { number }: FindingView,
  { pictures }: Pictures,
  span: Span,
  beside: (y: number, height: number) => void,
): void {
  for (const picture of pictures.filter(({ findings }) => findings.includes(number - 1))) {
    const { drawn, findings } = picture
    const first = Math.min(...findings) + 1
    if (isDrawing(drawn) && first === number) putFigure(paper, parent, picture, drawn, span, beside)
    else {
      const told = isDrawing(drawn) ? `is shown with finding no. ${first}` : `cannot be shown: ${drawn.fault}`
      putLines(paper, paper.add(parent, 'P'), `${namePlace(picture)} ${told}.`, looks.quiet, span, { beside })
    }
  }
}

function putFigure(
  paper: Paper,
  parent: Element,
  picture: Picture,
  drawing: Drawing,
  span: Span,
  beside: (y: number, height: number) => void,
): void {
  const { widthPixels, heightPixels } = drawing
  const { isPhoto } = picture
  const scale = Math.min((isPhoto ? 220 : span.width) / widthPixels, highest / heightPixels)
  const [width, height] = [widthPixels * scale, heightPixels * scale]
  putLines(paper, paper.add(parent, 'P'), namePlace(picture), looks.quiet, span, { keep: true, beside })
  const holder: { figure: Element | null } = { figure: null }
  // Its place on the page is known only when it is drawn, and its place among its siblings only now.
  const place = paper.add(parent, 'Div')
  paper.put({
    height: height + 6,
    keep: false,
    draw(y) {
      beside(y, height + 6)
      const bbox: [number, number, number, number] = [span.x, y, span.x + width, y + height]
      holder.figure = paper.add(place, 'Figure', { alt: describePicture(picture), bbox })
      paper.content(holder.figure, (document) => {
        document.image(drawing.jpeg.slice().buffer as unknown as Buffer, span.x, y, { width, height })
        drawMarks(document, picture, drawing, span.x, y, width)
        document.rect(span.x, y, width, height).lineWidth(0.5).strokeColor(colors.line).stroke()
      })
    },
  })
}

function drawMarks(
  document: PDFKit.PDFDocument,
  { marks }: Picture,
  { region: [x0, y0, x1] }: Drawing,
  x: number,
  y: number,
  width: number,
): void {
  const scale = width / (x1 - x0)
  for (const [left, top, right, bottom] of marks) {
    const box = [x + (left - x0 - 2) * scale, y + (top - y0 - 2) * scale] as const
    const size = [(right - left + 4) * scale, (bottom - top + 4) * scale] as const
    document
      .rect(...box, ...size)
      .fillOpacity(0.3)
      .fill('#ffb000')
      .fillOpacity(1)
    document
      .rect(...box, ...size)
      .lineWidth(0.75)
      .strokeColor('#8a5a00')
      .stroke()
  }
}

export const figureSpan = (left: number): Span => ({ x: left, width: sheet.right - left })
