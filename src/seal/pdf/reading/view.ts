/** From the space of a page (ISO 32000-1, 8.3.2.3) to points from the top left of what is seen of it, as it is turned. */
import type { Box } from '../../../facts/reading.ts'
import type { PdfFile } from './file.ts'
import type { PageObject } from './form.ts'

type Rectangle = readonly [number, number, number, number]

/** Null where the page states no size. */
export function toView(file: PdfFile, page: PageObject, rectangle: Rectangle): Box | null {
  const visible = rectangleIn(file, page, 'CropBox') ?? rectangleIn(file, page, 'MediaBox')
  if (visible === null) return null
  const [left, bottom, right, top] = visible
  const [x0, y0, x1, y1] = rectangle
  const turn = file.resolve(page.inherited.get('Rotate'))
  switch (turn?.kind === 'number' ? ((turn.value % 360) + 360) % 360 : 0) {
    case 90:
      return [y0 - bottom, x0 - left, y1 - bottom, x1 - left]
    case 180:
      return [right - x1, y0 - bottom, right - x0, y1 - bottom]
    case 270:
      return [top - y1, right - x1, top - y0, right - x0]
    default:
      return [x0 - left, top - y1, x1 - left, top - y0]
  }
}

function rectangleIn(file: PdfFile, { inherited }: PageObject, key: string): Rectangle | null {
  const value = file.resolve(inherited.get(key))
  if (value?.kind !== 'array' || value.items.length !== 4) return null
  const numbers = value.items.map((item) => {
    const number = file.resolve(item)
    return number?.kind === 'number' ? number.value : Number.NaN
  })
  if (numbers.some(Number.isNaN)) return null
  const [x0 = 0, y0 = 0, x1 = 0, y1 = 0] = numbers
  return [Math.min(x0, x1), Math.min(y0, y1), Math.max(x0, x1), Math.max(y0, y1)]
}
