/**
 * From a page's operator list to its glyphs, each where it stands on the upright page.
 *
 * The text state follows ISO 32000-1, 9.3 and 9.4: Trm = [Tfs*Th 0 0 Tfs 0 Trise] x Tm x CTM, and a glyph advances by
 * (w0 - Tj/1000)*Tfs + Tc + Tw, scaled by Th. Widths come from the font object, so that words can be cut exactly:
 * cutting a run by its number of characters misplaces words by up to 11 points.
 */
import type { OPS } from 'pdfjs-dist/legacy/build/pdf.mjs'
import type { BarWatcher } from './pdf-bars.ts'
import type { Ink, InkTracker } from './pdf-ink.ts'

/** Operator numbers of pdfjs. */
export type Operators = typeof OPS

/** `[a b c d e f]` of ISO 32000-1, 8.3.3. */
export type Matrix = readonly [number, number, number, number, number, number]

/** The part of a font object of pdfjs that placing glyphs needs. */
export interface FontObject {
  name?: string
  ascent?: number
  descent?: number
  bold?: boolean
  black?: boolean
  vertical?: boolean
  isType3Font?: boolean
  fontMatrix?: readonly number[]
  bbox?: readonly number[]
}

/** A font as words need it: name without subset prefix, weight, and extent above and below the baseline in ems. */
export interface Face {
  name: string
  bold: boolean
  ascent: number
  descent: number
}

/** `start` and `end` lie on the baseline in points, y down; `size` is the em in points; `spacing` the Tc after it. */
export interface Glyph {
  text: string
  space: boolean
  startX: number
  startY: number
  endX: number
  endY: number
  /** Unit vector of the writing direction, y down: [1, 0] reads upright. */
  alongX: number
  alongY: number
  x0: number
  y0: number
  x1: number
  y1: number
  size: number
  spacing: number
  face: Face
  bold: boolean
  /** Where nobody follows the ink, absent. */
  ink?: Ink
  /** Index of the operator that shows it. */
  order: number
  /** The letter that its outline plainly draws, where that is another than its text. */
  drawn?: string
  /** Of a Type 3 font, whose glyphs may be drawn in any colour. */
  ownColours?: true
}

interface ShownGlyph {
  unicode: string
  /** What pdfjs calls its outline by. */
  fontChar?: string
  width: number
  isSpace: boolean
  vmetric?: readonly number[]
}

/** Who looks on while glyphs are placed. */
export interface Onlookers {
  /** Is told of every operator. */
  tracker?: InkTracker
  /** Likewise. */
  bars?: BarWatcher
  /** The letter that a glyph of a font plainly draws, where that is another than its text; else null. */
  drawnBy?(font: string, outline: string, text: string): string | null
}

interface TextState {
  ctm: Matrix
  fontName: string
  font: FontObject | null
  face: Face
  fontSize: number
  charSpacing: number
  wordSpacing: number
  scale: number
  leading: number
  rise: number
  mode: number
}

const identity: Matrix = [1, 0, 0, 1, 0, 0]
const noFace: Face = { name: '', bold: false, ascent: 0.75, descent: -0.25 }

/** `second` applied after `first`, as ISO 32000-1 writes first x second. */
export function multiply(first: Matrix, second: Matrix): Matrix {
  const [a, b, c, d, e, f] = first
  const [p, q, r, s, t, u] = second
  return [a * p + b * r, a * q + b * s, c * p + d * r, c * q + d * s, e * p + f * r + t, e * q + f * s + u]
}

function matrixOf(value: unknown): Matrix | null {
  const list = value as ArrayLike<number> | null | undefined
  if (!list || list.length < 6) return null
  const [a, b, c, d, e, f] = Array.from(list)
  const six = [a, b, c, d, e, f]
  return six.every(Number.isFinite) ? (six as unknown as Matrix) : null
}

/**
 * Fonts state the extent of all their glyphs, accents and line gap included, or nonsense (0, thousands). Boxes that
 * reach no higher than capitals and no lower than descenders keep the lines of a page apart.
 */
const mostAscent = 0.8
const mostDescent = -0.25

function faceOf(font: FontObject): Face {
  const name = (font.name ?? '').replace(/^[A-Z]{6}\+/, '')
  const bold = font.bold === true || font.black === true || /bold|black|heavy|demi/i.test(name)
  let ascent = font.ascent ?? 0
  let descent = font.descent ?? 0
  if (font.isType3Font) {
    const scale = font.fontMatrix?.[3] ?? 0.001
    ascent = (font.bbox?.[3] ?? 0) * scale
    descent = (font.bbox?.[1] ?? 0) * scale
  }
  if (descent > 0) descent = -descent
  if (!(ascent >= 0.3)) ascent = 0.75
  if (!(descent >= -0.5 && descent < 0)) descent = -0.22
  ascent = Math.min(ascent, mostAscent)
  descent = Math.max(descent, mostDescent)
  return { name, bold, ascent, descent }
}

/**
 * Walks an operator list. `base` takes user space to the upright page (y down). `fontOf` gives the font object of a
 * name. Glyphs come in the order they are drawn; white space comes too (`space`), with its place.
 */
export function placeGlyphs(
  ops: Operators,
  fnArray: readonly number[],
  argsArray: readonly unknown[],
  base: Matrix,
  fontOf: (name: string) => FontObject | null,
  most: number,
  { tracker, bars, drawnBy }: Onlookers = {},
): Glyph[] {
  const glyphs: Glyph[] = []
  const faces = new Map<string, { font: FontObject | null; face: Face }>()
  const stack: TextState[] = []
  let state: TextState = {
    ctm: base,
    fontName: '',
    font: null,
    face: noFace,
    fontSize: 0,
    charSpacing: 0,
    wordSpacing: 0,
    scale: 1,
    leading: 0,
    rise: 0,
    mode: 0,
  }
  let matrix: Matrix = identity
  let x = 0
  let y = 0
  let lineX = 0
  let lineY = 0

  const save = () => {
    stack.push({ ...state })
  }
  const restore = () => {
    const last = stack.pop()
    if (last) state = last
  }
  const setFont = (name: string, size: number) => {
    let known = faces.get(name)
    if (!known) {
      const font = fontOf(name)
      known = { font, face: font ? faceOf(font) : noFace }
      faces.set(name, known)
    }
    state.fontName = name
    state.font = known.font
    state.face = known.face
    state.fontSize = size
  }
  const moveText = (dx: number, dy: number) => {
    lineX += dx
    lineY += dy
    x = lineX
    y = lineY
  }
  const show = (shown: readonly (ShownGlyph | number)[], order: number) => {
    const { font, face, fontSize, charSpacing, wordSpacing, scale, rise } = state
    const text = multiply(matrix, state.ctm)
    const [a, b, c, d, e, f] = text
    const em = Math.abs(fontSize)
    const height = Math.hypot(c, d) * em
    if (!(height > 0.05) || !Number.isFinite(height)) return
    const unit = (font?.fontMatrix?.[0] ?? 0.001) * fontSize
    const vertical = font?.vertical === true
    // A negative font size turns the glyphs by half a turn about their origin.
    const sign = fontSize < 0 ? -1 : 1
    const along = Math.hypot(a, b)
    const run = along > 0 ? (sign * Math.sign(scale || 1)) / along : 0
    const alongX = run === 0 ? 1 : a * run
    const alongY = run === 0 ? 0 : b * run
    const upX = c * fontSize
    const upY = d * fontSize
    const bold = face.bold || state.mode === 2
    const ink = tracker?.inkOf(state.mode)
    for (const item of shown) {
      if (typeof item === 'number') {
        const step = (-item * fontSize) / 1000
        if (vertical) y += step
        else x += step * scale
        continue
      }
      if (!item) continue
      const spacing = charSpacing + (item.isSpace ? wordSpacing : 0)
      let left = x
      let low = y + rise
      let width = (item.width || 0) * unit * scale
      if (vertical) {
        left -= (item.vmetric?.[1] ?? 500) * unit
        low -= (item.vmetric?.[2] ?? 880) * unit
        width = (item.width || 1000) * unit
        y += (item.vmetric?.[0] ?? -1000) * unit - spacing
      } else {
        x += width + spacing * scale
      }
      const startX = a * left + c * low + e
      const startY = b * left + d * low + f
      const endX = startX + a * width
      const endY = startY + b * width
      const topX = upX * face.ascent
      const topY = upY * face.ascent
      const downX = upX * face.descent
      const downY = upY * face.descent
      const unicode = item.unicode ?? ''
      const drawn = drawnBy?.(state.fontName, item.fontChar ?? '', unicode) ?? null
      glyphs.push({
        text: unicode,
        space: unicode === '' || unicode.trim() === '',
        startX,
        startY,
        endX,
        endY,
        alongX,
        alongY,
        x0: Math.min(startX, endX) + Math.min(topX, downX),
        y0: Math.min(startY, endY) + Math.min(topY, downY),
        x1: Math.max(startX, endX) + Math.max(topX, downX),
        y1: Math.max(startY, endY) + Math.max(topY, downY),
        size: height,
        spacing: charSpacing * scale * along,
        face,
        bold,
        order,
        ...(ink ? { ink } : {}),
        ...(drawn === null ? {} : { drawn }),
        ...(font?.isType3Font ? { ownColours: true } : {}),
      })
      if (glyphs.length > most) return
    }
  }

  for (let index = 0; index < fnArray.length && glyphs.length <= most; index++) {
    const args = argsArray[index] as unknown[] | null
    switch (fnArray[index]) {
      case ops.save:
      case ops.beginGroup:
        save()
        break
      case ops.restore:
      case ops.endGroup:
      case ops.paintFormXObjectEnd:
      case ops.endAnnotation:
        restore()
        break
      case ops.transform: {
        const moved = matrixOf(args)
        if (moved) state.ctm = multiply(moved, state.ctm)
        break
      }
      case ops.paintFormXObjectBegin: {
        save()
        const moved = matrixOf(args?.[0])
        if (moved) state.ctm = multiply(moved, state.ctm)
        break
      }
      case ops.beginAnnotation: {
        save()
        const placed = matrixOf(args?.[2]) ?? identity
        state.ctm = multiply(multiply(matrixOf(args?.[3]) ?? identity, placed), base)
        break
      }
      case ops.beginText:
        matrix = identity
        x = y = lineX = lineY = 0
        break
      case ops.setTextMatrix: {
        const set = matrixOf(args?.[0]) ?? matrixOf(args)
        if (set) matrix = set
        x = y = lineX = lineY = 0
        break
      }
      case ops.setFont:
        setFont(String(args?.[0]), Number(args?.[1]) || 0)
        break
      case ops.setGState:
        for (const [key, value] of (args?.[0] ?? []) as [string, unknown][]) {
          if (key === 'Font' && Array.isArray(value)) setFont(String(value[0]), Number(value[1]) || 0)
        }
        break
      case ops.setCharSpacing:
        state.charSpacing = Number(args?.[0]) || 0
        break
      case ops.setWordSpacing:
        state.wordSpacing = Number(args?.[0]) || 0
        break
      case ops.setHScale:
        state.scale = (Number(args?.[0]) || 100) / 100
        break
      case ops.setLeading:
        state.leading = Number(args?.[0]) || 0
        break
      case ops.setTextRise:
        state.rise = Number(args?.[0]) || 0
        break
      case ops.setTextRenderingMode:
        state.mode = Number(args?.[0]) || 0
        break
      case ops.moveText:
        moveText(Number(args?.[0]) || 0, Number(args?.[1]) || 0)
        break
      case ops.setLeadingMoveText:
        state.leading = -(Number(args?.[1]) || 0)
        moveText(Number(args?.[0]) || 0, Number(args?.[1]) || 0)
        break
      case ops.nextLine:
        moveText(0, -state.leading)
        break
      case ops.showText:
      case ops.showSpacedText:
        show((args?.[0] ?? []) as (ShownGlyph | number)[], index)
        break
    }
    tracker?.take(fnArray[index] ?? 0, args, state.ctm, index)
    bars?.take(fnArray[index] ?? 0, args, state.ctm)
  }
  return glyphs
}
