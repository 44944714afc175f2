/** Marks that may be letters: connected dark spots of a likely size and shape, found before anything is read. */
import type { Grey } from './grey.ts'

export interface Mark {
  x0: number
  y0: number
  x1: number
  y1: number
  /** Dark pixels. */
  area: number
}

/** More marks than that are texture, not text. */
const mostMarks = 60_000

/** Dark spots against the mean around them. `reach`: half the side of that square, in pixels. */
export function findMarks(grey: Grey, reach = 12, contrast = 18): Mark[] {
  const dark = threshold(grey, reach, contrast)
  const { width, height } = grey
  const marks: Mark[] = []
  const stack: number[] = []
  for (let start = 0; start < dark.length && marks.length < mostMarks; start++) {
    if (dark[start] !== 1) continue
    const mark = { x0: width, y0: height, x1: 0, y1: 0, area: 0 }
    dark[start] = 2
    stack.push(start)
    for (let at = stack.pop(); at !== undefined; at = stack.pop()) {
      const [x, y] = [at % width, Math.floor(at / width)]
      mark.area++
      mark.x0 = Math.min(mark.x0, x)
      mark.x1 = Math.max(mark.x1, x + 1)
      mark.y0 = Math.min(mark.y0, y)
      mark.y1 = Math.max(mark.y1, y + 1)
      const visit = (next: number) => {
        if (dark[next] !== 1) return
        dark[next] = 2
        stack.push(next)
      }
      if (x > 0) visit(at - 1)
      if (x < width - 1) visit(at + 1)
      if (y > 0) visit(at - width)
      if (y < height - 1) visit(at + width)
    }
    marks.push(mark)
  }
  return marks
}

/** 1 where a pixel is darker than the mean around it, by at least `contrast` levels (Bradley and Roth 2007, but for that). */
export function threshold({ width, height, levels }: Grey, reach: number, contrast: number): Uint8Array {
  const sums = new Float64Array((width + 1) * (height + 1))
  for (let y = 0; y < height; y++) {
    let row = 0
    for (let x = 0; x < width; x++) {
      row += levels[y * width + x] ?? 0
      sums[(y + 1) * (width + 1) + x + 1] = (sums[y * (width + 1) + x + 1] ?? 0) + row
    }
  }
  const dark = new Uint8Array(width * height)
  for (let y = 0; y < height; y++) {
    const [top, bottom] = [Math.max(0, y - reach), Math.min(height, y + reach + 1)]
    for (let x = 0; x < width; x++) {
      const [left, right] = [Math.max(0, x - reach), Math.min(width, x + reach + 1)]
      const sum =
        (sums[bottom * (width + 1) + right] ?? 0) -
        (sums[top * (width + 1) + right] ?? 0) -
        (sums[bottom * (width + 1) + left] ?? 0) +
        (sums[top * (width + 1) + left] ?? 0)
      const mean = sum / ((bottom - top) * (right - left))
      if ((levels[y * width + x] ?? 0) < mean - contrast) dark[y * width + x] = 1
    }
  }
  return dark
}

/** What of the marks may be letters, and how they run. */
export interface Script {
  letters: Mark[]
  /** Of the letters with a neighbour like them: how many have it beside them, and how many above or beneath. */
  beside: number
  beneath: number
  /** Median height (width, where lines run up or down) of those, in pixels. */
  size: number
}

/** Letters in one of its fields, which are as large as the largest letter looked for. */
const largest = 64

/** Tells letters from other marks by size, shape and company: a letter has another like it close by. */
export function findScript(marks: readonly Mark[]): Script {
  const likely = marks.filter(isLikely)
  const fields = new Map<number, Mark[]>()
  const key = (x: number, y: number) => Math.floor(x / largest) * 65_536 + Math.floor(y / largest)
  for (const mark of likely) {
    const field = key(mark.x0, mark.y0)
    const held = fields.get(field)
    if (held) held.push(mark)
    else fields.set(field, [mark])
  }
  const script: Script = { letters: [], beside: 0, beneath: 0, size: 0 }
  const sizes: number[] = []
  for (const mark of likely) {
    let best = Number.POSITIVE_INFINITY
    let isBeside = false
    for (const u of [-1, 0, 1])
      for (const v of [-1, 0, 1])
        for (const other of fields.get(key(mark.x0 + u * largest, mark.y0 + v * largest)) ?? []) {
          if (other === mark) continue
          const [gap, along] = gapBetween(mark, other)
          if (gap < best) [best, isBeside] = [gap, along]
        }
    const size = Math.max(mark.y1 - mark.y0, mark.x1 - mark.x0)
    if (best > 1.2 * size) continue
    script.letters.push(mark)
    if (isBeside) script.beside++
    else script.beneath++
  }
  const sideways = script.beneath > script.beside
  for (const mark of script.letters) sizes.push(sideways ? mark.x1 - mark.x0 : mark.y1 - mark.y0)
  sizes.sort((a, b) => a - b)
  script.size = sizes[sizes.length >> 1] ?? 0
  return script
}

function isLikely({ x0, y0, x1, y1, area }: Mark): boolean {
  const [w, h] = [x1 - x0, y1 - y0]
  const [short, long] = [Math.min(w, h), Math.max(w, h)]
  return long >= 5 && long <= largest && short >= 2 && long / short <= 7 && area >= 0.15 * w * h && area >= 8
}

/** How far apart two marks of like size are, and whether they stand beside each other; infinite for unlike ones. */
function gapBetween(a: Mark, b: Mark): [number, boolean] {
  const [sizeOfA, sizeOfB] = [Math.max(a.y1 - a.y0, a.x1 - a.x0), Math.max(b.y1 - b.y0, b.x1 - b.x0)]
  if (sizeOfA > 2 * sizeOfB || sizeOfB > 2 * sizeOfA) return [Number.POSITIVE_INFINITY, false]
  const across = Math.max(a.x0 - b.x1, b.x0 - a.x1)
  const down = Math.max(a.y0 - b.y1, b.y0 - a.y1)
  // Beside each other they overlap in height, and the other way round; what touches at a corner is neither.
  if (across >= 0 && down < 0) return [across, true]
  if (down >= 0 && across < 0) return [down, false]
  return [Number.POSITIVE_INFINITY, false]
}
