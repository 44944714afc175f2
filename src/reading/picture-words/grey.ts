/** Pictures in grey, as words are looked for in them. */
import { type Canvases, type Raster, toGreys } from '../pixels.ts'

/** `levels`: a byte a pixel, row by row, 0 black. */
export interface Grey {
  width: number
  height: number
  levels: Uint8Array
}

/** The picture on white, no longer than `longest` pixels, and by how much it was shrunk (1 or less). */
export function paintGrey(canvases: Canvases, image: Raster, longest: number): { grey: Grey; scale: number } {
  const scale = Math.min(1, longest / Math.max(image.width, image.height))
  const [width, height] = [image.width, image.height].map((side) => Math.max(1, Math.round(side * scale))) as [
    number,
    number,
  ]
  const context = canvases.createCanvas(width, height).getContext('2d')
  context.fillStyle = '#ffffff'
  context.fillRect(0, 0, width, height)
  context.drawImage(image, 0, 0, width, height)
  return { grey: { width, height, levels: toGreys(context.getImageData(0, 0, width, height).data) }, scale }
}

/** Each level against white. */
export function invert({ width, height, levels }: Grey): Grey {
  return { width, height, levels: levels.map((level) => 255 - level) }
}

/** Shrunk by a whole number, each pixel the mean of those that it stands for. */
export function shrink({ width, height, levels }: Grey, by: number): Grey {
  const [w, h] = [Math.max(1, Math.floor(width / by)), Math.max(1, Math.floor(height / by))]
  const small = new Uint8Array(w * h)
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      let sum = 0
      for (let v = 0; v < by; v++) for (let u = 0; u < by; u++) sum += levels[(y * by + v) * width + x * by + u] ?? 0
      small[y * w + x] = sum / (by * by)
    }
  }
  return { width: w, height: h, levels: small }
}

/** The rows from `top` to before `bottom`. */
export function cutRows({ width, height, levels }: Grey, top: number, bottom: number): Grey {
  const [first, last] = [Math.max(0, top), Math.min(height, bottom)]
  return { width, height: last - first, levels: levels.slice(first * width, last * width) }
}
