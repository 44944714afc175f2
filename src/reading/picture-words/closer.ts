/** A word cut out of its page, larger and alone, so that it can be read once more. */
import type { Box } from '../../facts/reading.ts'
import type { SeenWord } from './engine.ts'
import { type Grey, invert } from './grey.ts'
import { chain, type Map3, moved, scaled, warp } from './projective.ts'

/** A page as its words were read, and as it is. */
export interface SeenPage {
  /** The picture as it is. */
  base: Grey
  /** What was read: straight, dark on light, without rules. */
  work: Grey
  /** From there to the picture. */
  map: Map3
  /** The picture's words are lighter than their ground. */
  light: boolean
  /** Height of a common letter in `work`, in pixels. */
  size: number
  words: readonly SeenWord[]
}

/** What is cut from, and by how much larger. */
export interface Look {
  from: 'work' | 'base'
  larger: number
}

/** Of the levels round a word, so many are no darker than paper. */
const paperShare = 0.85

/** What is seen of one word of the page, on empty paper, dark on light. `ink`: as the word has it. */
export function cutOut(page: SeenPage, ink: Box, { from, larger }: Look): Grey {
  const { base, work, map, light, size } = page
  const room = roomOf(ink, page.words, size)
  const [x0, y0, x1, y1] = [room[0] - size, room[1] - size / 2, room[2] + size, room[3] + size / 2]
  const toWork = chain(scaled(1 / larger), moved(x0, y0))
  const [width, height] = [Math.round((x1 - x0) * larger), Math.round((y1 - y0) * larger)]
  if (from === 'work') return clearAround(warp(work, toWork, width, height), size, larger)
  const cut = warp(base, chain(toWork, map), width, height)
  return clearAround(light ? invert(cut) : cut, size, larger)
}

/** The ink of a word, and on both sides as far as half the way to its neighbours, at most the height of a letter. */
function roomOf(ink: Box, words: readonly SeenWord[], size: number): Box {
  let [left, right] = [ink[0] - size, ink[2] + size]
  for (const { ink: other } of words) {
    if (other === ink || other[3] <= ink[1] || other[1] >= ink[3]) continue
    if (other[0] + other[2] < ink[0] + ink[2]) left = Math.max(left, Math.min(ink[0] - 1, (other[2] + ink[0]) / 2))
    else right = Math.min(right, Math.max(ink[2] + 1, (other[0] + ink[2]) / 2))
  }
  return [left, ink[1] - size / 4, right, ink[3] + size / 4]
}

/** Neighbours beyond the room make letters of their own: the margin becomes paper. */
function clearAround({ width, height, levels }: Grey, size: number, larger: number): Grey {
  const [beside, above] = [Math.round(size * larger), Math.round((size / 2) * larger)]
  const isInside = (x: number, y: number) => x >= beside && x < width - beside && y >= above && y < height - above
  const inside = levels.filter((_, at) => isInside(at % width, Math.floor(at / width))).sort()
  const paper = inside[Math.floor(inside.length * paperShare)] ?? 255
  return {
    width,
    height,
    levels: levels.map((level, at) => (isInside(at % width, Math.floor(at / width)) ? level : paper)),
  }
}
