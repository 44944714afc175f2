/** Parts of words on their way to becoming words. */
import type { Glyph } from './pdf-glyphs.ts'

/** Letters of one family of fonts. */
export interface FontRun {
  text: string
  family: string | null
}

/** A stretch of glyphs of one word. `along` and `across` are coordinates in the writing direction and at a right angle. */
export interface Fragment {
  text: string
  /** As its outlines show it, where one of them plainly is another letter. */
  drawn: string
  x0: number
  y0: number
  x1: number
  y1: number
  alongX: number
  alongY: number
  start: number
  end: number
  across: number
  size: number
  boldGlyphs: number
  glyphs: number
  /** Glyphs of which a clip leaves nothing. */
  cutGlyphs: number
  font: string
  /** Its text by the families of fonts that it is set in, null where a font has no telling name. */
  runs: readonly FontRun[]
  spaceBefore: boolean
  spaceAfter: boolean
  last: Glyph
}

/** Adds `other` to the end of `fragment`, which it changes. */
export function appendFragment(fragment: Fragment, other: Fragment): void {
  fragment.text += other.text
  fragment.drawn += other.drawn
  fragment.x0 = Math.min(fragment.x0, other.x0)
  fragment.y0 = Math.min(fragment.y0, other.y0)
  fragment.x1 = Math.max(fragment.x1, other.x1)
  fragment.y1 = Math.max(fragment.y1, other.y1)
  fragment.end = Math.max(fragment.end, other.end)
  fragment.size = Math.max(fragment.size, other.size)
  fragment.boldGlyphs += other.boldGlyphs
  fragment.glyphs += other.glyphs
  fragment.cutGlyphs += other.cutGlyphs
  fragment.spaceAfter = other.spaceAfter
  fragment.last = other.last
  fragment.runs = joinRuns(fragment.runs, other.runs)
}

function joinRuns(runs: readonly FontRun[], others: readonly FontRun[]): readonly FontRun[] {
  const [last, next] = [runs.at(-1), others[0]]
  if (last === undefined || next === undefined || last.family !== next.family) return [...runs, ...others]
  return [...runs.slice(0, -1), { text: last.text + next.text, family: last.family }, ...others.slice(1)]
}

/** Joins `others`, in writing order, to the first of them. */
export function joinFragments(first: Fragment, others: readonly Fragment[]): Fragment {
  for (const other of others) appendFragment(first, other)
  return first
}
