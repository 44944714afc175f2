/**
 * What a page paints, in order: with which colours, how opaque, within which clip, on which layer. The graphics state is
 * that of ISO 32000-1, 8.4, as far as it decides whether text can be seen; what is not followed (patterns, soft masks,
 * blend modes) is marked as not known, never guessed.
 */
import type { Matrix, Operators } from './pdf-glyphs.ts'
import { type Shape, shapeOfBox, shapeOfPath, shapesOfLines } from './pdf-shapes.ts'

/** Red, green and blue, 0 to 255; null for a pattern. */
export type Colour = readonly [number, number, number] | null

/** How glyphs that are shown at a moment are drawn. */
export interface Ink {
  /** Text rendering mode, ISO 32000-1, table 106. */
  mode: number
  fill: Colour
  stroke: Colour
  fillAlpha: number
  strokeAlpha: number
  clips: readonly Shape[]
  /** On a layer that is switched off. */
  off: boolean
  /** A soft mask or blend mode applies: what is seen is not known. */
  blended: boolean
  /** Mode 7: something was painted through the letters afterwards. */
  filled?: true
}

/** Something painted that is not text. */
export interface Paint {
  /** Index of its operator. */
  order: number
  shape: Shape
  clips: readonly Shape[]
  colour: Colour
  /** Hides what is beneath it, for certain. */
  solid: boolean
  /** A picture, whose pixels were not looked at. */
  picture: boolean
}

/** More paints than these are a drawing, and not followed. */
const mostPaints = 20_000
/** In points: what is thinner hides no letter. */
const thinnest = 2

interface State {
  fill: Colour
  stroke: Colour
  fillAlpha: number
  strokeAlpha: number
  lineWidth: number
  clips: readonly Shape[]
  masked: boolean
  blend: boolean
  /** Of the groups around. */
  outerAlpha: number
  outerBlended: boolean
  /** Letters that clip what is painted next. */
  letters: readonly Ink[]
}

export interface InkTracker {
  /** Is told of each operator after placing has changed its own state; `ctm` is the matrix then. */
  take(fn: number, args: unknown[] | null, ctm: Matrix, order: number): void
  /** How glyphs are drawn now. */
  inkOf(mode: number): Ink
  /** All that was painted; null where there was too much to follow. */
  paints(): Paint[] | null
}

const black: Colour = [0, 0, 0]

function colourOf(value: unknown): Colour {
  const found = typeof value === 'string' ? /^#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})$/i.exec(value) : null
  if (!found) return null
  const [red, green, blue] = found.slice(1).map((pair) => Number.parseInt(pair, 16))
  return [red ?? 0, green ?? 0, blue ?? 0]
}

/** Follows an operator list from its beginning. `isShown` says of a layer or membership whether it is switched on. */
export function followInk(ops: Operators, isShown: (layer: unknown) => boolean): InkTracker {
  const paints: Paint[] = []
  const stack: State[] = []
  const layers: boolean[] = []
  let ctm: Matrix = [1, 0, 0, 1, 0, 0]
  let state: State = {
    fill: black,
    stroke: black,
    fillAlpha: 1,
    strokeAlpha: 1,
    lineWidth: 1,
    clips: [],
    masked: false,
    blend: false,
    outerAlpha: 1,
    outerBlended: false,
    letters: [],
  }
  let ink: Ink | null = null
  let pendingClip: 'nonzero' | 'even-odd' | null = null
  /** A matrix was set and nothing drawn since: pictures are kept from being decoded and leave no other trace. */
  let unit: { ctm: Matrix; order: number } | null = null

  const change = (changes: Partial<State>) => {
    state = { ...state, ...changes }
    ink = null
  }
  const save = () => {
    stack.push(state)
  }
  const restore = () => {
    flushPicture()
    state = stack.pop() ?? state
    ink = null
  }
  const isOff = () => layers.includes(false)
  const isBlended = () => state.masked || state.blend || state.outerBlended
  const paint = (order: number, shape: Shape, part: Partial<Paint>) => {
    for (const letter of state.letters) letter.filled = true
    const [x0, y0, x1, y1] = shape.box
    if (isOff() || !(x1 - x0 >= thinnest && y1 - y0 >= thinnest) || paints.length > mostPaints) return
    const solid = part.solid === true && !isBlended() && state.letters.length === 0
    paints.push({
      order,
      shape,
      clips: state.clips,
      colour: part.colour ?? null,
      solid,
      picture: part.picture === true,
    })
  }
  const flushPicture = () => {
    if (unit) paint(unit.order, shapeOfBox([0, 0, 1, 1], unit.ctm), { picture: true })
    unit = null
  }
  const clip = (shape: Shape | null) => {
    if (shape) change({ clips: [...state.clips, shape] })
  }
  const setGraphics = (entries: readonly [string, unknown][]) => {
    for (const [key, value] of entries) {
      if (key === 'ca') change({ fillAlpha: Number(value) })
      else if (key === 'CA') change({ strokeAlpha: Number(value) })
      else if (key === 'LW') change({ lineWidth: Number(value) })
      else if (key === 'SMask') change({ masked: value !== false })
      else if (key === 'BM') change({ blend: value !== 'source-over' })
    }
  }
  const fills = new Set<unknown>([ops.fill, ops.eoFill, ops.fillStroke, ops.eoFillStroke])
  for (const fn of [ops.closeFillStroke, ops.closeEOFillStroke]) fills.add(fn)
  const evenOdds = new Set<unknown>([ops.eoFill, ops.eoFillStroke, ops.closeEOFillStroke])
  const strokes = new Set<unknown>([ops.stroke, ops.closeStroke])
  const drawPath = (args: unknown[], order: number) => {
    const path = (args[1] as unknown[] | null)?.[0] as ArrayLike<number> | null | undefined
    const usable = path && typeof path.length === 'number' ? path : null
    if (usable && fills.has(args[0])) {
      unit = null
      const shape = shapeOfPath(usable, ctm, evenOdds.has(args[0]))
      const solid = state.fill !== null && state.fillAlpha * state.outerAlpha > 0.98
      if (shape && state.fillAlpha * state.outerAlpha > 0) paint(order, shape, { colour: state.fill, solid })
    } else if (usable && strokes.has(args[0])) {
      unit = null
      const [a, b, c, d] = ctm
      const width = state.lineWidth * Math.sqrt(Math.abs(a * d - b * c))
      const solid = state.stroke !== null && state.strokeAlpha * state.outerAlpha > 0.98
      const lines = width >= thinnest && state.strokeAlpha > 0 ? shapesOfLines(usable, ctm, width) : []
      for (const shape of lines) paint(order, shape, { colour: state.stroke, solid })
    }
    if (pendingClip && usable) clip(shapeOfPath(usable, ctm, pendingClip === 'even-odd'))
    pendingClip = null
  }

  const take: InkTracker['take'] = (fn, args, matrix, order) => {
    ctm = matrix
    switch (fn) {
      case ops.save:
        return save()
      case ops.restore:
      case ops.paintFormXObjectEnd:
      case ops.endAnnotation:
      case ops.endGroup:
        return restore()
      case ops.beginGroup:
        save()
        return change({
          outerAlpha: state.outerAlpha * state.fillAlpha,
          outerBlended: isBlended(),
          fillAlpha: 1,
          strokeAlpha: 1,
          masked: false,
          blend: false,
        })
      case ops.paintFormXObjectBegin: {
        save()
        if (unit) unit = { ctm, order }
        const box = args?.[1] as ArrayLike<number> | null | undefined
        if (box?.length === 4) clip(shapeOfBox([box[0] ?? 0, box[1] ?? 0, box[2] ?? 0, box[3] ?? 0], ctm))
        return
      }
      case ops.beginAnnotation:
        save()
        return change({ clips: [] })
      case ops.transform:
        unit = { ctm, order }
        return
      case ops.setGState:
        return setGraphics((args?.[0] ?? []) as [string, unknown][])
      case ops.setLineWidth:
        return change({ lineWidth: Number(args?.[0]) || 0 })
      case ops.setFillRGBColor:
        return change({ fill: colourOf(args?.[0]) })
      case ops.setStrokeRGBColor:
        return change({ stroke: colourOf(args?.[0]) })
      case ops.setFillColorN:
      case ops.setFillTransparent:
        return change({ fill: null })
      case ops.setStrokeColorN:
      case ops.setStrokeTransparent:
        return change({ stroke: null })
      case ops.clip:
        pendingClip = 'nonzero'
        return
      case ops.eoClip:
        pendingClip = 'even-odd'
        return
      case ops.constructPath:
        return drawPath(args ?? [], order)
      case ops.shadingFill: {
        unit = null
        const around = state.clips.at(-1)
        if (around) paint(order, around, {})
        return
      }
      case ops.paintSolidColorImageMask:
        unit = null
        return paint(order, shapeOfBox([0, 0, 1, 1], ctm), { colour: state.fill, solid: state.fillAlpha > 0.98 })
      case ops.paintImageXObject:
      case ops.paintInlineImageXObject:
      case ops.paintImageMaskXObject:
        unit = null
        return paint(order, shapeOfBox([0, 0, 1, 1], ctm), { picture: true })
      case ops.beginMarkedContent:
        layers.push(true)
        return
      case ops.beginMarkedContentProps:
        layers.push(args?.[0] !== 'OC' || isShown(args[1]))
        return
      case ops.endMarkedContent:
        layers.pop()
        ink = null
        return
      case ops.showText:
        unit = null
    }
  }

  const inkOf = (mode: number): Ink => {
    if (ink?.mode === mode && ink.off === isOff()) return ink
    ink = {
      mode,
      fill: state.fill,
      stroke: state.stroke,
      fillAlpha: state.fillAlpha * state.outerAlpha,
      strokeAlpha: state.strokeAlpha * state.outerAlpha,
      clips: state.clips,
      off: isOff(),
      blended: isBlended(),
    }
    if (mode >= 4) {
      const letters = [...state.letters, ink].slice(-50)
      state = { ...state, letters }
    }
    return ink
  }
  return { take, inkOf, paints: () => (paints.length > mostPaints ? null : paints) }
}
