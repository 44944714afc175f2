/** Takes shadow and uneven light from a picture of a page. */
import type { Grey } from './grey.ts'

/** Fields across the longer side. */
const fields = 24
/** The paper shows in more than this share of the points of a field. */
const paperShare = 0.8
/** A field darker than this share of the lightest is no paper in shadow, but something dark. */
const deepestShadow = 0.35

/**
 * Divides by the light that falls on each part of the page, told from its paper: in each of a grid of fields, the level
 * that four points in five do not pass. A dark field takes the level of the lightest beside it, so that a dark heading
 * stays dark. A picture that is mostly dark, such as of a screen, comes back as it is.
 */
export function evenLight(grey: Grey): Grey {
  const { width, height, levels } = grey
  const size = Math.max(8, Math.ceil(Math.max(width, height) / fields))
  const [across, down] = [Math.ceil(width / size), Math.ceil(height / size)]
  const raw = measureFields(grey, size, across, down)
  const sorted = [...raw].sort((a, b) => a - b)
  const lightest = sorted[Math.floor(sorted.length * 0.98)] ?? 255
  if ((sorted[sorted.length >> 1] ?? 255) < lightest * deepestShadow || lightest < 40) return grey
  const light = smooth(lift(raw, across, down, lightest * deepestShadow), across, down)
  const even = new Uint8Array(width * height)
  for (let y = 0; y < height; y++) {
    const fy = Math.max(0, Math.min(down - 1, y / size - 0.5))
    const [top, v] = [Math.floor(fy), fy % 1]
    const below = Math.min(down - 1, top + 1)
    for (let x = 0; x < width; x++) {
      const fx = Math.max(0, Math.min(across - 1, x / size - 0.5))
      const [left, u] = [Math.floor(fx), fx % 1]
      const right = Math.min(across - 1, left + 1)
      const upper = (light[top * across + left] ?? 0) * (1 - u) + (light[top * across + right] ?? 0) * u
      const lower = (light[below * across + left] ?? 0) * (1 - u) + (light[below * across + right] ?? 0) * u
      even[y * width + x] = Math.min(255, (245 * (levels[y * width + x] ?? 0)) / (upper * (1 - v) + lower * v))
    }
  }
  return { width, height, levels: even }
}

function measureFields({ width, height, levels }: Grey, size: number, across: number, down: number): number[] {
  return Array.from({ length: across * down }, (_, field) => {
    const [x0, y0] = [(field % across) * size, Math.floor(field / across) * size]
    const counts = new Uint32Array(256)
    let points = 0
    for (let y = y0; y < Math.min(height, y0 + size); y += 2)
      for (let x = x0; x < Math.min(width, x0 + size); x += 2, points++) {
        const level = levels[y * width + x] ?? 0
        counts[level] = (counts[level] ?? 0) + 1
      }
    let level = 0
    for (let seen = counts[0] ?? 0; level < 255 && seen <= points * paperShare; ) seen += counts[++level] ?? 0
    return Math.max(1, level)
  })
}

const around = (field: number, across: number, down: number): number[] => {
  const [x, y] = [field % across, Math.floor(field / across)]
  return [-1, 0, 1].flatMap((v) =>
    [-1, 0, 1].flatMap((u) =>
      x + u >= 0 && x + u < across && y + v >= 0 && y + v < down ? [(y + v) * across + x + u] : [],
    ),
  )
}

/** Twice: dark fields take the lightest level beside them. */
function lift(raw: readonly number[], across: number, down: number, least: number): number[] {
  let light = [...raw]
  for (let turn = 0; turn < 2; turn++)
    light = light.map((level, field) => {
      const best = Math.max(...around(field, across, down).map((at) => light[at] ?? 0))
      return level < 0.75 * best ? best : level
    })
  return light.map((level) => Math.max(level, least))
}

function smooth(light: readonly number[], across: number, down: number): number[] {
  return light.map((_, field) => {
    const beside = around(field, across, down)
    return beside.reduce((sum, at) => sum + (light[at] ?? 0), 0) / beside.length
  })
}
