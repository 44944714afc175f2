/** Pictures of the places that a finding rests on, with the words marked, on paper. */
import type { Drawing } from '../facts/drawing.ts'
import { isDrawing, type Picture, type Pictures } from '../findings/pictures.ts'
import { colors, leading, looks, putLines, type Span } from './pdf-blocks.ts'
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
  const own = pictures.filter(({ findings }) => findings.includes(number - 1))
  for (const [pair, side] of Map.groupBy(own, ({ beside }) => beside?.pair ?? null)) {
    const shown = side.flatMap((picture) => {
      const { drawn, findings } = picture
      const first = Math.min(...findings) + 1
      if (isDrawing(drawn) && first === number) return [{ picture, drawing: drawn }]
      const told = isDrawing(drawn) ? `is shown with finding no. ${first}` : `cannot be shown: ${drawn.fault}`
      putLines(paper, paper.add(parent, 'P'), `${namePlace(picture)} ${told}.`, looks.quiet, span, { beside })
      return []
    })
    if (pair === null) for (const one of shown) putRow(paper, parent, [one], span, beside)
    else if (shown.length > 0) putRow(paper, parent, shown, span, beside)
  }
}

interface Shown {
  picture: Picture
  drawing: Drawing
}

const between = 10

/** Pictures beside each other, each with its name above. */
function putRow(
  paper: Paper,
  parent: Element,
  shown: readonly Shown[],
  span: Span,
  beside: (y: number, height: number) => void,
): void {
  const room = (span.width - between * (shown.length - 1)) / shown.length
  const sized = shown.map((one, index) => ({ ...one, ...measure(one, room), x: span.x + index * (room + between) }))
  const names = sized.map(({ picture }) => paper.letters.wrap(namePlace(picture), looks.quiet, room))
  const captions = Math.max(...names.map((lines) => lines.length)) * leading(looks.quiet)
  const titles = names.map((lines, index) => ({ lines, x: sized[index]?.x ?? span.x, element: paper.add(parent, 'P') }))
  paper.put({
    height: captions,
    keep: true,
    draw(y) {
      beside(y, captions)
      for (const { lines, x, element } of titles)
        for (const [row, text] of lines.entries())
          paper.draw(element, [{ text, x, y: y + row * leading(looks.quiet), look: looks.quiet }])
    },
  })
  // Their places among their siblings are known only when they are drawn.
  const places = sized.map((one) => ({ ...one, place: paper.add(parent, 'Div') }))
  const tallest = Math.max(...sized.map(({ height }) => height))
  paper.put({
    height: tallest + 6,
    keep: false,
    draw(y) {
      beside(y, tallest + 6)
      for (const { picture, drawing, width, height, x, place } of places) {
        const bbox: [number, number, number, number] = [x, y, x + width, y + height]
        const figure = paper.add(place, 'Figure', { alt: describePicture(picture), bbox })
        paper.content(figure, (document) => {
          document.image(drawing.jpeg.slice().buffer as unknown as Buffer, x, y, { width, height })
          drawMarks(document, picture, drawing, x, y, width)
          document.rect(x, y, width, height).lineWidth(0.5).strokeColor(colors.line).stroke()
        })
      }
    },
  })
}

function measure({ picture, drawing: { widthPixels, heightPixels } }: Shown, room: number) {
  const scale = Math.min(Math.min(picture.isPhoto ? 220 : room, room) / widthPixels, highest / heightPixels)
  return { width: widthPixels * scale, height: heightPixels * scale }
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
