/** Takes away what stands among words and is none: the rules of tables, and specks. */
import type { Grey } from './grey.ts'
import { findMarks, type Mark, threshold } from './marks.ts'

/** In heights of a common letter. */
const leastRule = 4.5
const thickestRule = 0.4
const largestSpeck = 0.35
const company = 1.1
/** Darker ground carries light words: what is dark there is the ground. */
const darkestPaper = 140

/** A picture with dark words that run level. `size`: height of a common letter in pixels. */
export function clean(grey: Grey, size: number): Grey {
  const reach = Math.round(3 * size)
  const cleaned: Grey = { ...grey, levels: Uint8Array.from(grey.levels) }
  const dark = threshold(grey, reach, 20)
  wipeRules(cleaned, dark, size, false)
  wipeRules(cleaned, dark, size, true)
  wipeSpecks(cleaned, size)
  return cleaned
}

/** Runs of dark pixels that are long one way and thin the other; where a letter crosses them they are not thin, and stay. */
function wipeRules({ width, height, levels }: Grey, dark: Uint8Array, size: number, upright: boolean): void {
  const [lines, length] = upright ? [width, height] : [height, width]
  const index = (line: number, along: number) => (upright ? along * width + line : line * width + along)
  const [least, thickest] = [leastRule * size, Math.max(3, Math.round(thickestRule * size))]
  const wipe = (line: number, along: number) => {
    let [from, to] = [line, line]
    while (from > 0 && line - from <= thickest && dark[index(from - 1, along)]) from--
    while (to < lines - 1 && to - line <= thickest && dark[index(to + 1, along)]) to++
    if (to - from + 1 > thickest) return
    const paper = Math.max(
      levels[index(Math.max(0, from - 3), along)] ?? 255,
      levels[index(Math.min(lines - 1, to + 3), along)] ?? 255,
    )
    if (paper < darkestPaper) return
    for (let at = Math.max(0, from - 2); at <= Math.min(lines - 1, to + 2); at++) {
      levels[index(at, along)] = paper
      // Where two rules cross, the other is now thin.
      dark[index(at, along)] = 0
    }
  }
  for (let line = 0; line < lines; line++) {
    for (let start = 0; start < length; start++) {
      if (!dark[index(line, start)]) continue
      let end = start
      // A speck of light does not part a rule.
      for (let along = start; along < length && along - end <= 3; along++) if (dark[index(line, along)]) end = along
      if (end - start >= least) for (let along = start; along <= end; along++) wipe(line, along)
      start = end
    }
  }
}

/** Small marks without anything like a letter beside them: a full stop has, dust has not. */
function wipeSpecks(grey: Grey, size: number): void {
  const marks = findMarks(grey, Math.round(size), 14)
  const isSmall = ({ x0, y0, x1, y1 }: Mark) => Math.max(x1 - x0, y1 - y0) <= largestSpeck * size
  const letters = marks.filter((mark) => !isSmall(mark) && mark.y1 - mark.y0 >= 0.45 * size)
  const fields = new Map<number, Mark[]>()
  const side = Math.ceil(4 * size)
  const key = (x: number, y: number) => Math.floor(x / side) * 65_536 + Math.floor(y / side)
  for (const letter of letters)
    for (let x = letter.x0 - side; x <= letter.x1 + side; x += side)
      for (let y = letter.y0 - side; y <= letter.y1 + side; y += side) {
        const at = key(x, y)
        const held = fields.get(at)
        if (held) held.push(letter)
        else fields.set(at, [letter])
      }
  const reach = company * size
  for (const mark of marks) {
    if (!isSmall(mark)) continue
    const near = (fields.get(key(mark.x0, mark.y0)) ?? []).some(
      ({ x0, y0, x1, y1 }) =>
        mark.x0 <= x1 + reach && mark.x1 >= x0 - reach && mark.y0 <= y1 + 0.3 * size && mark.y1 >= y0 - 0.5 * size,
    )
    if (!near || mark.area < 4) paintOver(grey, mark)
  }
}

function paintOver({ width, height, levels }: Grey, { x0, y0, x1, y1 }: Mark): void {
  const [left, right] = [Math.max(0, x0 - 2), Math.min(width - 1, x1 + 1)]
  const [top, bottom] = [Math.max(0, y0 - 2), Math.min(height - 1, y1 + 1)]
  const corners = [top * width + left, top * width + right, bottom * width + left, bottom * width + right]
  const paper = Math.max(...corners.map((at) => levels[at] ?? 255))
  if (paper < darkestPaper) return
  for (let y = top; y <= bottom; y++) levels.fill(paper, y * width + left, y * width + right + 1)
}
