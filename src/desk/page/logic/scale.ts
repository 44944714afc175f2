/** From the units of a page (points or pixels, origin at the top left) to pixels of the screen. */
import type { Box } from '../../../index.ts'

export interface Size {
  width: number
  height: number
}

/** Position on the screen, in CSS pixels. */
export interface Rectangle extends Size {
  left: number
  top: number
}

/** Times by which a page is enlarged or made smaller at a step. */
const zoomSteps = [0.25, 0.33, 0.5, 0.67, 0.8, 1, 1.25, 1.5, 2, 2.5, 3, 4, 6] as const

/** The next step up or down from any scale; the last one stays. */
export function stepZoom(scale: number, direction: 'in' | 'out'): number {
  const next =
    direction === 'in'
      ? zoomSteps.find((step) => step > scale * 1.01)
      : zoomSteps.findLast((step) => step < scale / 1.01)
  return next ?? scale
}

/** Fills the width of `room`, in CSS pixels. Zero or less gives a scale of 1. */
export const fitWidth = (page: Size, room: Size): number =>
  room.width > 0 && page.width > 0 ? room.width / page.width : 1

/** Lines of print are this many units high on most pages, and can be read from so many pixels on. */
const [printUnits, readablePixels] = [10, 13]

/** A page of print is not blown up to fill a wide screen. */
const largestUnmarked = 1.6

/**
 * The scale to begin with: the width of the page, but so large that print can be read, where there is something marked to
 * look at; never larger than what is marked fits in.
 */
export function chooseScale(page: Size, room: Size, marks: readonly Box[], unit: 'pt' | 'px'): number {
  const fit = fitWidth(page, room)
  const around = boundMarks(marks)
  if (around === null) return Math.min(fit, unit === 'px' ? room.height / Math.max(1, page.height) : largestUnmarked)
  const print = unit === 'pt' ? printUnits : lowest(marks)
  const most = (room.width * 0.9) / Math.max(1, around[2] - around[0])
  return Math.max(Math.min(fit, most), Math.min(readablePixels / print, most))
}

const lowest = (marks: readonly Box[]): number => Math.max(1, Math.min(...marks.map(([, y0, , y1]) => y1 - y0)))

/** The box round all marks; null where there is none. */
export function boundMarks(marks: readonly Box[]): Box | null {
  if (marks.length === 0) return null
  return [
    Math.min(...marks.map((box) => box[0])),
    Math.min(...marks.map((box) => box[1])),
    Math.max(...marks.map((box) => box[2])),
    Math.max(...marks.map((box) => box[3])),
  ]
}

/** Where a box of a page lies on the screen, a little wider than its words. `origin`: of what is shown, in units. */
export function placeMark(box: Box, origin: readonly [number, number], scale: number, margin = 2): Rectangle {
  const [x0, y0, x1, y1] = box
  return {
    left: (x0 - origin[0]) * scale - margin,
    top: (y0 - origin[1]) * scale - margin,
    width: Math.max(2, (x1 - x0) * scale) + 2 * margin,
    height: Math.max(2, (y1 - y0) * scale) + 2 * margin,
  }
}

/**
 * How far to scroll so that `target` stands a third from the top of `room`, and sideways no further than it takes to see
 * its end: labels stand at the left of what they name. Never below nothing.
 */
export function scrollToSee(target: Rectangle, room: Size): { left: number; top: number } {
  const left = Math.min(target.left - 8, target.left + target.width - room.width * 0.94)
  return { left: Math.max(0, left), top: Math.max(0, target.top + target.height / 2 - room.height / 3) }
}

/** Bands across the page on which something is marked, from top to bottom, those that touch as one. */
export function markBands(marks: readonly Box[]): { from: number; to: number }[] {
  const bands: { from: number; to: number }[] = []
  for (const [, from, , to] of [...marks].sort((a, b) => a[1] - b[1])) {
    const last = bands.at(-1)
    if (last !== undefined && from <= last.to + 1) last.to = Math.max(last.to, to)
    else bands.push({ from, to })
  }
  return bands
}
