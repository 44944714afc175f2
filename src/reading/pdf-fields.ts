/**
 * Words of form fields and notes. What their appearance streams show is read with the page; a value that no appearance
 * shows (files filled in by programs often leave that to the viewer) is set into the field's rectangle here.
 */
import type { Box, Word } from '../facts/reading.ts'

interface Annotation {
  subtype?: string
  rect?: readonly number[]
  hidden?: boolean
  fieldType?: string
  fieldValue?: unknown
  checkBox?: boolean
  radioButton?: boolean
  password?: boolean
  multiLine?: boolean
  contentsObj?: { str?: string }
  textContent?: readonly string[]
  defaultAppearanceData?: { fontSize?: number }
}

/** Mean width of a character in ems, for words whose font is the viewer's choice. Common practice, no source. */
const characterWidth = 0.5

function shownText(annotation: Annotation): string {
  if (annotation.subtype === 'Widget') {
    if (annotation.password || annotation.checkBox || annotation.radioButton) return ''
    if (annotation.fieldType !== 'Tx' && annotation.fieldType !== 'Ch') return ''
    const value = annotation.fieldValue
    return Array.isArray(value) ? value.join('\n') : typeof value === 'string' ? value : ''
  }
  return annotation.subtype === 'FreeText' ? (annotation.contentsObj?.str ?? '') : ''
}

/** Sets lines of text into a rectangle from its top left; every box stays inside it. */
function setWords(text: string, box: Box, fontSize: number): Word[] {
  const [x0, y0, x1, y1] = box
  const lines = text.split(/\r\n|\r|\n/)
  const size = Math.min(fontSize > 0 ? fontSize : 12, Math.max((y1 - y0) / Math.max(lines.length, 1), 1))
  // A single line stands in the middle of its field.
  const top = lines.length === 1 ? Math.max(y0, (y0 + y1 - size) / 2) : y0
  return lines.flatMap((line, row) =>
    [...line.matchAll(/\S+/gu)].map((found): Word => {
      const left = Math.min(x0 + found.index * characterWidth * size, x1)
      const right = Math.min(left + found[0].length * characterWidth * size, x1)
      const y = Math.min(top + row * size, y1)
      return { text: found[0], box: [left, y, right, Math.min(y + size, y1)], size }
    }),
  )
}

function centreInside(word: Word, box: Box): boolean {
  const x = (word.box[0] + word.box[2]) / 2
  const y = (word.box[1] + word.box[3]) / 2
  return x >= box[0] - 2 && x <= box[2] + 2 && y >= box[1] - 2 && y <= box[3] + 2
}

/**
 * Words of values and notes that `shown`, the words already read from the page, do not show at their rectangle.
 * `place` takes a rectangle of user space to a box of the upright page.
 */
export function wordsOfAnnotations(
  annotations: readonly unknown[],
  shown: readonly Word[],
  place: (rect: readonly number[]) => Box,
): Word[] {
  const words: Word[] = []
  for (const annotation of annotations as readonly Annotation[]) {
    const { rect, hidden } = annotation
    const text = shownText(annotation)
    if (hidden || text.trim() === '' || rect?.length !== 4 || !rect.every(Number.isFinite)) continue
    const box = place(rect)
    const there = shown.filter((word) => centreInside(word, box))
    const squeezed = (value: string) => value.replace(/\s+/gu, '')
    if (squeezed(there.map((word) => word.text).join('')).includes(squeezed(text))) continue
    words.push(...setWords(text, box, annotation.defaultAppearanceData?.fontSize ?? 0))
  }
  return words
}
